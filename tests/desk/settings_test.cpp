// SPDX-License-Identifier: GPL-3.0-or-later
#include <QCheckBox>
#include <QComboBox>
#include <QDialogButtonBox>
#include <QDir>
#include <QFile>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QSpinBox>
#include <QTest>
#include <fstream>

#include "desk/document.h"
#include "desk/new_job_dialog.h"
#include "desk/preferences.h"
#include "desk/recent_files.h"
#include "support/scratch_folder.h"

using namespace latchwright;
using desk::NewJobDialog;
using desk::Preferences;
using desk::RecentFiles;
using desk::ThemeChoice;

namespace {

model::Study study_of(const NewJobDialog& dialog) {
  auto checked = model::check_job(dialog.job(), "new job", model::Catalogue());
  if (!checked.ok()) throw std::runtime_error(checked.issues().front().line());
  return checked.value();
}

}  // namespace

class SettingsTest : public QObject {
  Q_OBJECT

 private Q_SLOTS:
  void init() { scratch_ = std::make_unique<tests::ScratchFolder>(); }

  void preferencesBeginPlain() {
    const Preferences preferences(path("new.ini"));
    QVERIFY(preferences.units() == units::UnitSystem::metric);
    QVERIFY(preferences.theme() == ThemeChoice::system);
    QVERIFY(preferences.partFiles().empty());
    QVERIFY(preferences.windowGeometry().isEmpty());
    QVERIFY(preferences.splitState().isEmpty());
  }

  void preferencesAreKept() {
    const std::vector<std::string> parts{make("a, b.json").toStdString(), make("ü.json").toStdString()};
    const QByteArray geometry("\x01\x00\xff window", 9);
    const QString job = make("job.json"), other = make("other.json");
    {
      Preferences preferences(path("kept.ini"));
      preferences.setUnits(units::UnitSystem::us);
      preferences.setTheme(ThemeChoice::dark);
      preferences.setPartFiles(parts);
      preferences.setWindowGeometry(geometry);
      preferences.setSplitState("state");
      preferences.setCautionsShown(job);
    }
    Preferences preferences(path("kept.ini"));
    QVERIFY(preferences.units() == units::UnitSystem::us);
    QVERIFY(preferences.theme() == ThemeChoice::dark);
    QCOMPARE(preferences.partFiles(), parts);
    QCOMPARE(preferences.windowGeometry(), geometry);
    QCOMPARE(preferences.splitState(), QByteArray("state"));
    QVERIFY(preferences.cautionsShown(job));
    QVERIFY(preferences.cautionsShown(path("./job.json")));
    QVERIFY(!preferences.cautionsShown(other));
    for (const ThemeChoice theme : {ThemeChoice::system, ThemeChoice::light}) {
      preferences.setTheme(theme);
      QVERIFY(Preferences(path("kept.ini")).theme() == theme);
    }
    preferences.setUnits(units::UnitSystem::metric);
    preferences.setPartFiles({});
    QVERIFY(preferences.units() == units::UnitSystem::metric);
    QVERIFY(preferences.partFiles().empty());
  }

  void nonsenseCountsAsNotSet() {
    std::ofstream(path("odd.ini").toStdString()) << "[General]\nunits=furlongs\ntheme=purple\npart_files=\n"
                                                 << "recent_files=\n";
    Preferences preferences(path("odd.ini"));
    QVERIFY(preferences.units() == units::UnitSystem::metric);
    QVERIFY(preferences.theme() == ThemeChoice::system);
    QVERIFY(preferences.partFiles().empty());
    QVERIFY(RecentFiles(preferences.settings()).shown().isEmpty());
  }

  void cautionsOfAJobWithoutAFile() {
    Preferences preferences(path("new.ini"));
    preferences.setCautionsShown("");
    QVERIFY(!preferences.cautionsShown(""));
    // Only so many are remembered, the latest.
    for (int k = 0; k < 250; ++k) preferences.setCautionsShown(path(QString("%1.json").arg(k)));
    QVERIFY(preferences.cautionsShown(path("249.json")));
    QVERIFY(preferences.cautionsShown(path("60.json")));
    QVERIFY(!preferences.cautionsShown(path("0.json")));
  }

  void theUsersOwnSettings() {
    // Asked for its place only, so that nobody's settings are touched.
    Preferences preferences;
    QCOMPARE(preferences.settings().organizationName(), "latchwright");
    QCOMPARE(preferences.settings().applicationName(), "desk");
  }

  void recentFilesNewestFirst() {
    Preferences preferences(path("recent.ini"));
    RecentFiles recent(preferences.settings());
    QVERIFY(recent.shown().isEmpty());
    QStringList wanted;
    for (int k = 0; k < 14; ++k) {
      wanted.prepend(make(QString("job, %1.json").arg(k)));
      recent.add(wanted.front());
    }
    QCOMPARE(recent.shown(), wanted.mid(0, 10));
    recent.add(wanted[7]);
    wanted.move(7, 0);
    QCOMPARE(recent.shown(), wanted.mid(0, 10));
    // Another program sees the same.
    Preferences other(path("recent.ini"));
    preferences.settings().sync();
    QCOMPARE(RecentFiles(other.settings()).shown(), wanted.mid(0, 10));
    recent.clear();
    QVERIFY(recent.shown().isEmpty());
  }

  void oneFileByTwoNames() {
    Preferences preferences(path("recent.ini"));
    RecentFiles recent(preferences.settings());
    const QString a = make("a.json"), b = make("b.json"), link = path("link.json");
    QVERIFY(QFile::link(a, link));
    recent.add(a);
    recent.add(b);
    recent.add(link);
    QCOMPARE(recent.shown(), (QStringList{link, b}));
    recent.add(path("./../" + QDir(QString::fromStdString(scratch_->path())).dirName() + "/b.json"));
    QCOMPARE(recent.shown().size(), 2);
    QCOMPARE(QFileInfo(recent.shown().front()).fileName(), "b.json");
  }

  void missingFilesAreNotShown() {
    Preferences preferences(path("recent.ini"));
    RecentFiles recent(preferences.settings());
    QStringList files;
    for (int k = 0; k < 12; ++k) {
      files.prepend(make(QString("%1.json").arg(k)));
      recent.add(files.front());
    }
    QFile::remove(files[0]);
    QFile::remove(files[4]);
    files.removeAt(4);
    files.removeAt(0);
    QCOMPARE(recent.shown(), files);  // 10: older ones take their places
    QVERIFY(QDir().mkdir(path("folder.json")));
    recent.add(path("folder.json"));
    QCOMPARE(recent.shown(), files);
  }

  void aNewJob() {
    NewJobDialog dialog;
    auto* doors = dialog.findChild<QSpinBox*>();
    auto* body = dialog.findChild<QComboBox*>();
    auto* title = dialog.findChild<QLineEdit*>("title");
    auto* choose = dialog.findChild<QCheckBox*>();
    QVERIFY(doors && body && title && choose);
    QVERIFY(dialog.chooseAtOnce());
    QCOMPARE(doors->minimum(), 1);
    QCOMPARE(doors->maximum(), 12);
    QCOMPARE(body->count(), 4);
    for (int k = 0; k < body->count(); ++k) {
      body->setCurrentIndex(k);
      for (const int count : {1, 4, 12}) {
        doors->setValue(count);
        const model::Study study = study_of(dialog);
        QCOMPARE(static_cast<int>(study.job.doors.size()), count);
        QVERIFY(study.job.title.find(body->currentData().toString().toStdString()) == 0);
        QCOMPARE(title->placeholderText().toStdString(), study.job.title);
      }
    }
    choose->setChecked(false);
    QVERIFY(!dialog.chooseAtOnce());
    title->setText("  The red\tone\n ");
    QCOMPARE(study_of(dialog).job.title, "The red one");
    title->setText(QString(500, 'x'));
    QCOMPARE(study_of(dialog).job.title.size(), 200u);
  }

  void aNewJobByTheKeyboardAlone() {
    NewJobDialog dialog;
    dialog.show();
    QVERIFY(QTest::qWaitForWindowActive(&dialog));
    const auto type = [&](const QString& text) { QTest::keyClicks(QApplication::focusWidget(), text); };
    const auto press = [&](Qt::Key key) { QTest::keyClick(QApplication::focusWidget(), key); };
    type("5");
    press(Qt::Key_Tab);
    type("Est");
    press(Qt::Key_Tab);
    type("Blue");
    press(Qt::Key_Tab);
    press(Qt::Key_Space);
    press(Qt::Key_Return);
    QCOMPARE(dialog.result(), int(QDialog::Accepted));
    const model::Study study = study_of(dialog);
    QCOMPARE(study.job.doors.size(), 5u);
    QCOMPARE(study.job.doors[4].branch_length, 5.5);
    QCOMPARE(study.job.title, "Blue");
    QVERIFY(!dialog.chooseAtOnce());
  }

  void everythingOfANewJobHasAName() {
    NewJobDialog dialog;
    for (QWidget* widget : dialog.findChildren<QWidget*>()) {
      if (widget->focusPolicy() == Qt::NoFocus || widget->objectName().startsWith("qt_")) continue;
      const auto* button = qobject_cast<QAbstractButton*>(widget);
      QVERIFY2(!widget->accessibleName().isEmpty() || (button && !button->text().isEmpty()),
               widget->metaObject()->className());
    }
    dialog.resize(dialog.sizeHint());
    const QByteArray folder = qgetenv("LATCHWRIGHT_PICTURES");
    if (!folder.isEmpty()) QVERIFY(dialog.grab().save(QString::fromLocal8Bit(folder) + "/new_job.png"));
  }

 private:
  QString path(const QString& name) const {
    return QString::fromStdString(scratch_->file(name.toStdString()));
  }
  QString make(const QString& name) const {
    std::ofstream(path(name).toStdString()) << "{}";
    return path(name);
  }

  std::unique_ptr<tests::ScratchFolder> scratch_;
};

QTEST_MAIN(SettingsTest)
#include "settings_test.moc"
