// SPDX-License-Identifier: GPL-3.0-or-later
#include <QApplication>
#include <QDir>
#include <QFile>
#include <QMessageBox>
#include <QPushButton>
#include <QRegularExpression>
#include <QSignalSpy>
#include <QTemporaryDir>
#include <QTest>
#include <algorithm>

#include "desk/choose_dialog.h"
#include "desk/faults_dialog.h"
#include "desk/link_button.h"
#include "desk/window.h"
#include "io/files.h"
#include "support/desk_words.h"

// The window as people use it: opened on the demo, edited, saved, closed, broken.
namespace latchwright::desk {

using verdict::Verdict;

namespace {

const QString examples = QStringLiteral(LATCHWRIGHT_SOURCE_DIR "/docs/examples/");
constexpr int patience = 240000;  // ms; the sanitizers are slow

/// Answers the next question that opens, by the text of a button (without &); notes what it said.
class Answer : public QObject {
 public:
  explicit Answer(QString button) : button_(std::move(button)) {
    timer_.setInterval(20);
    connect(&timer_, &QTimer::timeout, this, [this] {
      auto* box = qobject_cast<QDialog*>(QApplication::activeModalWidget());
      if (box == nullptr) return;
      if (auto* message = qobject_cast<QMessageBox*>(box)) said = message->text() + message->informativeText();
      if (auto* faults = qobject_cast<FaultsDialog*>(box)) {
        for (int row = 0; row < faults->table().rowCount(); ++row) {
          for (int column = 0; column < 3; ++column) said += faults->table().item(row, column)->text() + QLatin1Char('|');
        }
      }
      for (auto* each : box->findChildren<QPushButton*>()) {
        if (each->text().remove(QLatin1Char('&')) != button_) continue;
        timer_.stop();
        answered = true;
        each->click();
        return;
      }
    });
    timer_.start();
  }
  QString said;
  bool answered = false;

 private:
  QString button_;
  QTimer timer_;
};

}  // namespace

class WindowTest : public QObject {
  Q_OBJECT

 private:
  QTemporaryDir folder_;
  std::unique_ptr<Preferences> preferences_;
  std::unique_ptr<Window> window_;

  QString copyOf(const QString& example) {
    const QString path = folder_.filePath(example);
    QFile::remove(path);
    QFile::copy(examples + example, path);
    QFile(path).setPermissions(QFile::ReadOwner | QFile::WriteOwner);
    return path;
  }
  void openWindow(const QString& path) {
    preferences_ = std::make_unique<Preferences>(folder_.filePath(QStringLiteral("settings.ini")));
    window_ = std::make_unique<Window>(*preferences_, folder_.filePath(QStringLiteral("rescue")));
    window_->resize(1280, 800);
    window_->show();
    window_->begin(path);
  }
  bool verdictIsThere() {
    const auto& verdict = window_->computing().verdict();
    return verdict.current && verdict.examined && verdict.cures_known;
  }
  bool lookIsThere() { return window_->computing().lookIsCurrent(); }

 private Q_SLOTS:
  void cleanup() {
    if (window_) {
      window_->recovery().forget();
      window_.reset();
    }
    preferences_.reset();
    QFile::remove(folder_.filePath(QStringLiteral("settings.ini")));
    QDir(folder_.filePath(QStringLiteral("rescue"))).removeRecursively();
  }

  void sessionOnTheDemo() {
    const QString path = copyOf(QStringLiteral("five-door-estate.json"));
    openWindow(path);
    QTRY_VERIFY_WITH_TIMEOUT(verdictIsThere(), patience);
    // What the command line says of it (README): the main fuse clears a short too late.
    const auto before = window_->computing().verdict();
    const auto& weakest = before.examined->worst[before.examined->weakest];
    QCOMPARE(weakest.id, verdict::CheckId::fuse_clear);
    QVERIFY(shown_words(window_->weakest()).contains(QStringLiteral("fuse clears a short circuit in time")));
    QVERIFY(shown_words(window_->run()).contains(QStringLiteral("tailgate")));

    // A shorter pulse cures the lockout and is one step to undo.
    const auto lockout_of = [](const verdict::Examination& found) {
      for (const auto& row : found.worst) {
        if (row.id == verdict::CheckId::lockout) return row.verdict;
      }
      return Verdict::holds;
    };
    QCOMPARE(lockout_of(*before.examined), Verdict::fails);
    QVERIFY(window_->document().edit({{"/pulse/on_s", model::Raw(0.4)}}, QStringLiteral("pulse")).empty());
    QVERIFY(!window_->computing().verdict().current);
    QVERIFY(window_->computing().verdict().examined != nullptr);  // the last good one stays
    QTRY_VERIFY_WITH_TIMEOUT(verdictIsThere(), patience);
    QVERIFY(lockout_of(*window_->computing().verdict().examined) != Verdict::fails);
    QVERIFY(window_->isWindowModified());

    QTest::keyClick(window_.get(), Qt::Key_Z, Qt::ControlModifier);
    QTRY_VERIFY_WITH_TIMEOUT(verdictIsThere(), patience);
    QCOMPARE(lockout_of(*window_->computing().verdict().examined), Verdict::fails);
    QVERIFY(!window_->isWindowModified());
    QTest::keyClick(window_.get(), Qt::Key_Z, Qt::ControlModifier | Qt::ShiftModifier);
    QCOMPARE(window_->document().study()->job.pulse.on_s, 0.4);

    QTest::keyClick(window_.get(), Qt::Key_S, Qt::ControlModifier);
    QVERIFY(!window_->isWindowModified());
    const auto again = io::load_job(path.toStdString(), window_->document().catalogue());
    QVERIFY(again.ok());
    QCOMPARE(again.value().job.pulse.on_s, 0.4);
    Document other;
    QVERIFY(other.setPartFiles({}).empty());
    QVERIFY(other.open(path).empty());
    QCOMPARE(other.text(), window_->document().text());
  }

  void curesAreApplied() {
    openWindow(copyOf(QStringLiteral("five-door-estate.json")));
    QTRY_VERIFY_WITH_TIMEOUT(verdictIsThere(), patience);
    const auto* found = window_->computing().verdict().examined.get();
    const auto change = *found->worst[found->weakest].change;
    QPushButton* apply = nullptr;
    for (auto* button : window_->weakest().findChildren<QPushButton*>()) {
      if (button->isVisible() && button->text().contains(QStringLiteral("pply"))) {
        apply = button;
        break;
      }
    }
    QVERIFY(apply != nullptr);
    QTest::mouseClick(apply, Qt::LeftButton);
    QCOMPARE(window_->document().study()->job.doors[4].fuse,
             std::optional<model::PartRef>(std::get<std::string>(change.passes_at)));
    QTRY_VERIFY_WITH_TIMEOUT(verdictIsThere(), patience);
    for (const auto& row : window_->computing().verdict().examined->worst) {
      if (row.id == verdict::CheckId::fuse_clear) QVERIFY(row.verdict != Verdict::fails);
    }
    window_->document().undoStack().undo();
    QVERIFY(!window_->document().study()->job.doors[4].fuse.has_value());
  }

  void everyLinkHasNumbersAndPictures() {
    openWindow(copyOf(QStringLiteral("five-door-estate.json")));
    QTRY_VERIFY_WITH_TIMEOUT(verdictIsThere(), patience);
    for (const auto& link : report::links_of(*window_->document().study())) {
      if (link.door != 0 && link.door != 4) continue;
      window_->chooseLink(link);
      QTRY_VERIFY_WITH_TIMEOUT(lookIsThere(), patience);
      QVERIFY(!window_->computing().look().pictures.empty());
      QCOMPARE(window_->pictures().views().size(), window_->computing().look().pictures.size());
      QVERIFY(!shown_words(window_->numbers()).isEmpty());
    }
  }

  void lookFollowsTheStripAndLeavesTheVerdict() {
    openWindow(copyOf(QStringLiteral("five-door-estate.json")));
    QTRY_VERIFY_WITH_TIMEOUT(verdictIsThere(), patience);
    const auto kept = window_->computing().verdict().examined;
    auto look = window_->strip().look();
    look.ambient_C = 80;
    look.voltage_V = 14.4;
    window_->strip().setLook(look);
    window_->computing().setLook({report::LinkKind::thermistor, 0}, look);
    QTRY_VERIFY_WITH_TIMEOUT(lookIsThere(), patience);
    QVERIFY(!window_->computing().look().holds);
    QVERIFY(shown_words(window_->strip()).contains(QRegularExpression(QStringLiteral("stops? working until (it|they) cool"))));
    QCOMPARE(window_->computing().verdict().examined, kept);
    QVERIFY(!window_->isWindowModified());
  }

  void unfinishedJobIsAState() {
    openWindow(copyOf(QStringLiteral("winter-van-open.json")));
    QVERIFY(window_->computing().verdict().examined == nullptr);
    QVERIFY(shown_words(window_->run()).contains(QStringLiteral("not chosen")));
    ChooseDialog choose(window_->document());
    QSignalSpy ready(&choose, &ChooseDialog::ready);
    QTRY_COMPARE_WITH_TIMEOUT(ready.count(), 1, patience);
    QVERIFY(!choose.result()->picks.empty());
    QVERIFY(choose.apply());
    QVERIFY(window_->document().study()->complete());
    QTRY_VERIFY_WITH_TIMEOUT(verdictIsThere(), patience);
    QVERIFY(window_->computing().verdict().examined->pass);
    window_->document().undoStack().undo();
    QVERIFY(!window_->document().study()->complete());
    QVERIFY(window_->computing().verdict().examined == nullptr);
  }

  void choosingCanBeCancelled() {
    openWindow(copyOf(QStringLiteral("taxi-open.json")));
    const auto text = window_->document().text();
    auto choose = std::make_unique<ChooseDialog>(window_->document());
    choose->show();
    QTest::qWait(30);
    choose->reject();
    choose.reset();  // waits for the thread
    QCOMPARE(window_->document().text(), text);
  }

  void computationIsCancelled() {
    openWindow(copyOf(QStringLiteral("five-door-estate.json")));
    QTRY_VERIFY_WITH_TIMEOUT(verdictIsThere(), patience);
    const auto kept = window_->computing().verdict().examined;
    window_->document().edit({{"/use/hot_cycles", model::Raw(900)}, {"/use/cycles", model::Raw(1000)}},
                             QStringLiteral("many"));
    QVERIFY(window_->computing().isBusy());
    window_->computing().cancel();
    QVERIFY(!window_->computing().isBusy());
    QTest::qWait(300);
    QCOMPARE(window_->computing().verdict().examined, kept);
    QVERIFY(!window_->computing().verdict().current);
    // The next edit is computed again.
    window_->document().undoStack().undo();
    QTRY_VERIFY_WITH_TIMEOUT(verdictIsThere(), patience);
  }

  void badFileShowsItsFaultsWithPlaces() {
    openWindow(copyOf(QStringLiteral("five-door-estate.json")));
    const auto text = window_->document().text();
    const QString bad = folder_.filePath(QStringLiteral("bad.json"));
    QFile file(bad);
    QVERIFY(file.open(QFile::WriteOnly));
    file.write("{\"latchwright_job\":1,\"feed\":{\"length_m\":-3},\"pulse\":{\"on_ss\":1},\"doors\":[]}");
    file.close();
    Answer close(QStringLiteral("Close"));
    QVERIFY(!window_->files().open(bad));
    QVERIFY(close.answered);
    QVERIFY(close.said.contains(QStringLiteral("/feed/length_m|")));
    QVERIFY(close.said.contains(QStringLiteral("/pulse/on_ss|")));
    QVERIFY(close.said.contains(QStringLiteral("on_s\"")));  // the nearest key
    QVERIFY(close.said.contains(QStringLiteral("/doors|")));
    QCOMPARE(window_->document().text(), text);
  }

  void unsavedChangesAreGuarded() {
    const QString path = copyOf(QStringLiteral("five-door-estate.json"));
    openWindow(path);
    window_->document().edit({{"/pulse/on_s", model::Raw(0.4)}}, QStringLiteral("pulse"));
    {
      Answer cancel(QStringLiteral("Cancel"));
      QVERIFY(!window_->close());
      QVERIFY(cancel.answered);
      QVERIFY(cancel.said.contains(QStringLiteral("not saved")));
    }
    Answer discard(QStringLiteral("Discard"));
    QVERIFY(window_->close());
    QVERIFY(discard.answered);
    Document other;
    QVERIFY(other.setPartFiles({}).empty());
    QVERIFY(other.open(path).empty());
    QCOMPARE(other.study()->job.pulse.on_s, 0.7);
  }

  void whatACrashLeftIsTakenBack() {
    const QString path = copyOf(QStringLiteral("five-door-estate.json"));
    // A window's document that ends without closing; its lock goes with it.
    {
      Document document;
      QVERIFY(document.setPartFiles({}).empty());
      Recovery recovery(document, folder_.filePath(QStringLiteral("rescue")));
      QVERIFY(document.open(path).empty());
      document.edit({{"/pulse/on_s", model::Raw(0.33)}}, QStringLiteral("pulse"));
      recovery.writeNow();
    }
    Answer take(QStringLiteral("Take them back"));
    openWindow({});
    QVERIFY(take.answered);
    QVERIFY(take.said.contains(QStringLiteral("five-door-estate.json")));
    QCOMPARE(window_->document().study()->job.pulse.on_s, 0.33);
    QVERIFY(window_->isWindowModified());
    QVERIFY(window_->files().save());
    Document other;
    QVERIFY(other.setPartFiles({}).empty());
    QVERIFY(other.open(path).empty());
    QCOMPARE(other.study()->job.pulse.on_s, 0.33);
  }

  void cautionsStandUntilRead() {
    openWindow(copyOf(QStringLiteral("five-door-estate.json")));
    auto* bar = window_->findChild<CautionsBar*>();
    QVERIFY(bar->isVisible());
    QVERIFY(shown_words(*bar).contains(QStringLiteral("airbag")));
    QTest::mouseClick(bar->findChild<QPushButton*>(), Qt::LeftButton);
    QVERIFY(!bar->isVisible());
  }

  void picturesAreSaved() {
    openWindow(copyOf(QStringLiteral("five-door-estate.json")));
    QTRY_VERIFY_WITH_TIMEOUT(lookIsThere(), patience);
    QVERIFY(!window_->computing().look().pictures.empty());
    const QString file = folder_.filePath(QStringLiteral("one.svg"));
    window_->savePicture(window_->computing().look().pictures.front(), file);
    QFile written(file);
    QVERIFY(written.open(QFile::ReadOnly));
    QVERIFY(written.readAll().contains("<svg"));
  }

  void unitsAreShownNotStored() {
    openWindow(copyOf(QStringLiteral("five-door-estate.json")));
    const auto text = window_->document().text();
    window_->setUnits(units::UnitSystem::us);
    QVERIFY(shown_words(window_->run()).contains(QStringLiteral("AWG")));
    window_->chooseLink({report::LinkKind::rod, 0});
    QVERIFY(shown_words(window_->numbers()).contains(QStringLiteral("lbf")));
    window_->setUnits(units::UnitSystem::metric);
    QCOMPARE(window_->document().text(), text);
  }

  void stateOfTheWindowIsKept() {
    openWindow(copyOf(QStringLiteral("five-door-estate.json")));
    window_->setUnits(units::UnitSystem::us);
    window_->resize(1100, 720);
    QVERIFY(window_->close());
    window_.reset();
    // As another start of the program finds it.
    preferences_ = std::make_unique<Preferences>(folder_.filePath(QStringLiteral("settings.ini")));
    window_ = std::make_unique<Window>(*preferences_, folder_.filePath(QStringLiteral("rescue")));
    window_->show();
    QCOMPARE(window_->size(), QSize(1100, 720));
    QCOMPARE(preferences_->units(), units::UnitSystem::us);
    QCOMPARE(RecentFiles(preferences_->settings()).shown().size(), 1);
  }
};

}  // namespace latchwright::desk

QTEST_MAIN(latchwright::desk::WindowTest)
#include "window_test.moc"
