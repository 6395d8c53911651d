// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/bench_fit_pane.h"

#include <QDragEnterEvent>
#include <QDropEvent>
#include <QFile>
#include <QMimeData>
#include <QSignalSpy>
#include <QTemporaryDir>
#include <QTest>
#include <cmath>
#include <fstream>

#include "bench/sheet.h"
#include "desk/document.h"
#include "model/tolerance.h"
#include "support/desk_words.h"

using namespace latchwright;
using namespace latchwright::desk;

namespace {

constexpr int patience = 240000;  // ms; the sanitizers are slow

struct Scene {
  QTemporaryDir folder;
  Document document;
  std::unique_ptr<BenchFitPane> pane;
  BenchSubject subject;

  Scene() {
    QVERIFY(document.setPartFiles({}).empty());
    subject.part = document.catalogue().find("act-ordinary-2w");
    subject.curve = model::curve_of(subject.actuator(), document.catalogue());
    pane = std::make_unique<BenchFitPane>(document);
    pane->setSubject(subject);
    pane->setStyle({});
    pane->resize(640, 700);
    pane->show();
  }
  QString path(const char* name) const { return folder.filePath(QLatin1String(name)); }
  /// A log as a clamp would give it of an actuator like the one on the bench, its winding that much higher.
  QString log(const char* name, double winding) const {
    base::NoProgress progress;
    const auto real = model::with_scaled(subject.actuator(), "/motor/resistance_ohm", winding);
    const auto sheet = bench::make_sheet(real, subject.curve, subject.ambient_C, 12.6, progress);
    std::ofstream file(path(name).toStdString());
    file << "time_s,current_A,voltage_V\n";
    for (int k = -20; k < 0; ++k) file << 0.05 * k << ",0,0\n";
    for (const auto& point : sheet.held) {
      if (point.s <= 120) file << point.s << ',' << point.current_A << ",12.6\n";
    }
    return path(name);
  }
  void add(const QStringList& paths, bool free = false) {
    pane->addLogs(paths, free);
    QTRY_VERIFY_WITH_TIMEOUT(!pane->isBusy(), patience);
  }
  QPushButton* button(const QString& text) const {
    for (auto* each : pane->findChildren<QPushButton*>()) {
      if (each->text().remove(QLatin1Char('&')).startsWith(text)) return each;
    }
    return nullptr;
  }
};

}  // namespace

class BenchFitPaneTest : public QObject {
  Q_OBJECT

 private Q_SLOTS:
  void readsLogs();
  void tellsWhatIsWrongWithALog();
  void takesDroppedLogs();
  void measuresAndKeepsAPart();
  void refusesWhatNoPartMayHave();
  void offersNothingOfARefusedFit();
  void forgetsWhatNoLongerHolds();
};

void BenchFitPaneTest::readsLogs() {
  Scene scene;
  QVERIFY(!scene.button("Fit the part")->isEnabled());
  scene.add({scene.log("a.csv", 1)}, true);
  QCOMPARE(scene.pane->logs().size(), std::size_t(1));
  // Running free alone tells nothing of the thermistor.
  QVERIFY(!scene.button("Fit the part")->isEnabled());
  scene.add({scene.log("b.csv", 1)});
  QVERIFY(scene.button("Fit the part")->isEnabled());
  const QString words = shown_words(*scene.pane);
  for (const char* word : {"a.csv", "b.csv", "held", "runs free"})
    QVERIFY2(words.contains(QLatin1String(word)), word);
  scene.pane->removeLog(1);
  QCOMPARE(scene.pane->logs().size(), std::size_t(1));
  QVERIFY(!scene.button("Fit the part")->isEnabled());
}

void BenchFitPaneTest::tellsWhatIsWrongWithALog() {
  Scene scene;
  std::ofstream(scene.path("bad.csv").toStdString()) << "time_s,current_A,voltage_V\n0,1,12\n1,oops,12\n";
  scene.add({scene.path("bad.csv"), scene.log("good.csv", 1), scene.path("none.csv")});
  QCOMPARE(scene.pane->logs().size(), std::size_t(1));
  QVERIFY2(scene.pane->fault().contains(QStringLiteral("bad.csv")), qPrintable(scene.pane->fault()));
  QVERIFY2(scene.pane->fault().contains(QStringLiteral("none.csv")), qPrintable(scene.pane->fault()));
  QVERIFY(shown_words(*scene.pane).contains(QStringLiteral("✕ ")));
}

void BenchFitPaneTest::takesDroppedLogs() {
  Scene scene;
  QMimeData logs, job;
  logs.setUrls({QUrl::fromLocalFile(scene.log("dropped.csv", 1))});
  job.setUrls({QUrl::fromLocalFile(scene.path("job.json"))});
  QDragEnterEvent of_job(QPoint(5, 5), Qt::CopyAction, &job, Qt::LeftButton, Qt::NoModifier);
  QCoreApplication::sendEvent(scene.pane.get(), &of_job);
  QVERIFY(!of_job.isAccepted());  // the window's
  QDragEnterEvent of_log(QPoint(5, 5), Qt::CopyAction, &logs, Qt::LeftButton, Qt::NoModifier);
  QCoreApplication::sendEvent(scene.pane.get(), &of_log);
  QVERIFY(of_log.isAccepted());
  QDropEvent drop(QPointF(5, 5), Qt::CopyAction, &logs, Qt::LeftButton, Qt::NoModifier);
  QCoreApplication::sendEvent(scene.pane.get(), &drop);
  QTRY_VERIFY_WITH_TIMEOUT(!scene.pane->isBusy(), patience);
  QCOMPARE(scene.pane->logs().size(), std::size_t(1));
}

void BenchFitPaneTest::measuresAndKeepsAPart() {
  Scene scene;
  scene.add({scene.log("held.csv", 1.1)});
  scene.pane->fit();
  QVERIFY(scene.pane->isBusy());
  QTRY_VERIFY_WITH_TIMEOUT(!scene.pane->isBusy(), patience);
  QVERIFY2(scene.pane->result().has_value(), qPrintable(scene.pane->fault()));
  // What the log was made with: 2.2 ohm and a tenth more, and 0.09 ohm. Their sum is what a log tells best.
  const auto& fitted = scene.pane->result()->fit.actuator;
  QVERIFY(std::fabs(fitted.motor.resistance + fitted.ptc.resistance - (2.2 * 1.1 + 0.09)) < 0.02);
  QCOMPARE(scene.pane->parameters().rowCount(), int(scene.pane->result()->fit.parameters.size()));
  QVERIFY(scene.pane->pictures().views().size() >= 2);

  QSignalSpy kept(scene.pane.get(), &BenchFitPane::partKept);
  scene.pane->id().setText(QStringLiteral("bench-one"));
  QVERIFY2(scene.pane->keep(scene.path("own.json"), false), qPrintable(scene.pane->fault()));
  QCOMPARE(kept.count(), 1);
  QCOMPARE(kept[0][0].toString(), QStringLiteral("bench-one"));
  const auto part = scene.document.catalogue().find("bench-one");
  QVERIFY(part != nullptr);
  QCOMPARE(part->source.kind, std::string("measured"));
  QVERIFY(std::fabs(std::get<model::Actuator>(part->body).motor.resistance - fitted.motor.resistance) < 1e-9);
  QCOMPARE(scene.document.partFiles().back(), scene.path("own.json").toStdString());
  // A file that exists stays, unless somebody says otherwise.
  QVERIFY(!scene.pane->keep(scene.path("own.json"), false));
  QVERIFY(scene.pane->keep(scene.path("own.json"), true));
  QCOMPARE(scene.document.partFiles().size(), std::size_t(1));
}

void BenchFitPaneTest::refusesWhatNoPartMayHave() {
  Scene scene;
  scene.add({scene.log("held.csv", 1)});
  scene.pane->field("cold")->setText(QStringLiteral("two"));
  scene.pane->fit();
  QVERIFY(!scene.pane->isBusy());
  QVERIFY(scene.pane->fault().contains(QStringLiteral("\"two\" is not a number")));
  scene.pane->field("cold")->clear();
  // The same range as on the command line.
  scene.pane->field("throw")->setText(QStringLiteral("11"));
  scene.pane->fit();
  QVERIFY(!scene.pane->isBusy());
  QVERIFY2(scene.pane->fault().contains(QStringLiteral("10")), qPrintable(scene.pane->fault()));
  scene.pane->field("throw")->clear();
  scene.pane->fit();
  QTRY_VERIFY_WITH_TIMEOUT(!scene.pane->isBusy(), patience);
  QVERIFY(scene.pane->result().has_value());
  scene.pane->id().setText(QStringLiteral("no id at all!"));
  QVERIFY(!scene.pane->keep(scene.path("own.json"), false));
  QVERIFY(!QFile::exists(scene.path("own.json")));
  QVERIFY(!scene.pane->fault().isEmpty());
}

void BenchFitPaneTest::offersNothingOfARefusedFit() {
  Scene scene;
  // A current that jumps up and down by a third: no thermistor does that.
  std::ofstream file(scene.path("odd.csv").toStdString());
  file << "time_s,current_A,voltage_V\n";
  for (int k = -20; k < 1200; ++k)
    file << 0.05 * k << ','
         << (k < 0             ? 0.0
             : k / 40 % 2 == 0 ? 3.0
                               : 5.0)
         << ',' << (k < 0 ? 0.0 : 12.6) << '\n';
  file.close();
  scene.add({scene.path("odd.csv")});
  scene.pane->fit();
  QTRY_VERIFY_WITH_TIMEOUT(!scene.pane->isBusy(), patience);
  QVERIFY2(scene.pane->result().has_value(), qPrintable(scene.pane->fault()));
  QVERIFY(!scene.pane->result()->part.has_value());
  QVERIFY(shown_words(*scene.pane).contains(QStringLiteral("does not describe this log")));
  QVERIFY(!scene.pane->keepButton().isEnabled());
  QVERIFY(!scene.pane->keep(scene.path("own.json"), false));
  QVERIFY(!QFile::exists(scene.path("own.json")));
  // A good log after it is offered again.
  scene.pane->removeLog(0);
  scene.add({scene.log("held.csv", 1)});
  scene.pane->fit();
  QTRY_VERIFY_WITH_TIMEOUT(!scene.pane->isBusy(), patience);
  QVERIFY(scene.pane->keepButton().isEnabled());
}

void BenchFitPaneTest::forgetsWhatNoLongerHolds() {
  Scene scene;
  scene.add({scene.log("held.csv", 1)});
  scene.pane->fit();
  QTRY_VERIFY_WITH_TIMEOUT(!scene.pane->isBusy(), patience);
  QVERIFY(scene.pane->result().has_value());
  scene.pane->field("force")->setFocus();
  QTest::keyClicks(scene.pane->field("force"), QStringLiteral("9"));
  QVERIFY(!scene.pane->result().has_value());
  // Typed in newtons, shown in pounds: the same force.
  scene.pane->setStyle({false, units::UnitSystem::us});
  const double pounds = scene.pane->field("force")->text().toDouble();
  QVERIFY(std::fabs(pounds * 0.45359237 * 9.80665 - 9) < 0.01);
  QVERIFY(!scene.pane->keep(scene.path("own.json"), false));
}

QTEST_MAIN(BenchFitPaneTest)
#include "bench_fit_pane_test.moc"
