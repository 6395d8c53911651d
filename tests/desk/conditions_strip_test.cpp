// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/conditions_strip.h"

#include <QLineEdit>
#include <QSignalSpy>
#include <QTest>
#include <QVBoxLayout>

#include "desk/look_setting.h"
#include "desk/wrapped_text.h"
#include "hand_made.h"

using namespace latchwright;
using namespace latchwright::desk;
using namespace latchwright::tests;
using report::LookAt;

namespace {

struct Scene {
  QWidget window;
  ConditionsStrip* strip = new ConditionsStrip(&window);
  StudyPtr study;

  explicit Scene(int width = 1280) {
    auto* layout = new QVBoxLayout(&window);
    layout->addWidget(strip);
    layout->addStretch();
    window.resize(width, 300);
    // By hand: no default of the tables is in the way of the test.
    const StudyPtr start = full_study(2);
    model::Job job = start->job;
    job.supply.low_V = 9;
    job.supply.usual_V = 12.6;
    job.supply.high_V = 15;
    job.climate = {-20, 23, 80};
    job.pulse.on_s = 0.7;
    job.use = {10, 5, 1.25};
    study = again(*start, job);
    strip->setStudy(*study);
    window.show();
    window.activateWindow();
    QVERIFY(QTest::qWaitForWindowActive(&window));
  }
  StudyPtr with(const std::function<void(model::Job&)>& change) const {
    model::Job job = study->job;
    change(job);
    return again(*study, job);
  }
  LookSetting* setting(const char* name) const {
    for (LookSetting* each : strip->findChildren<LookSetting*>()) {
      if (each->field()->accessibleName() == QLatin1String(name)) return each;
    }
    return nullptr;
  }
  QPushButton* button(const char* text) const {
    for (QPushButton* each : strip->findChildren<QPushButton*>()) {
      if (each->text() == QLatin1String(text)) return each;
    }
    return nullptr;
  }
  QComboBox* corners() const { return strip->findChild<QComboBox*>(); }
  void choose(int corner) const {
    corners()->setCurrentIndex(corner);
    Q_EMIT corners()->activated(corner);
  }
  QString said() const { return strip->findChild<WrappedText*>()->accessibleName(); }
  void type(const char* name, const QString& text) const {
    NumberField* field = setting(name)->field();
    field->setFocus();
    field->selectAll();
    QTest::keyClicks(field, text);
    QTest::keyClick(field, Qt::Key_Return);
  }
};

}  // namespace

class ConditionsStripTest : public QObject {
  Q_OBJECT

 private Q_SLOTS:
  void beginsAtTheUsualCondition();
  void namesTheCorners();
  void movesWithEverySetting();
  void hotCyclesBelongToTheHotAmbient();
  void unmovedSettingsFollowTheJob();
  void chosenCornerKeepsItsName();
  void goesBackToTheJob();
  void refusesWhatIsNotPermitted();
  void clipsNothing();
  void takesALook();
  void unitsOfTheReader();
  void saysWhatHappens();
  void fitsTheWindow();
};

void ConditionsStripTest::beginsAtTheUsualCondition() {
  const Scene scene;
  QCOMPARE(scene.strip->look(), (LookAt{12.6, 23, 0.7, 1.25, 10, false}));
  QCOMPARE(scene.corners()->currentText(), QStringLiteral("rested battery, usual (12.6 V, 23 °C)"));
  QVERIFY(!scene.button("as the job")->isEnabled());
  QVERIFY(!scene.button("put into the job")->isEnabled());
  const ConditionsStrip before;
  QVERIFY(!before.isEnabled());
}

void ConditionsStripTest::namesTheCorners() {
  const Scene scene;
  QCOMPARE(scene.corners()->count(), 10);
  QCOMPARE(scene.corners()->itemText(0), QStringLiteral("weak battery, cold (9 V, -20 °C)"));
  QCOMPARE(scene.corners()->itemText(8), QStringLiteral("highest voltage, hot (15 V, 80 °C)"));
  QCOMPARE(scene.corners()->itemText(9), QStringLiteral("as set below"));
  QSignalSpy spy(scene.strip, &ConditionsStrip::lookChanged);
  scene.choose(0);
  QCOMPARE(spy.size(), 1);
  QCOMPARE(scene.strip->look(), (LookAt{9, -20, 0.7, 1.25, 10, false}));
  scene.setting("voltage")->slider()->triggerAction(QAbstractSlider::SliderSingleStepAdd);
  QCOMPARE(scene.corners()->currentText(), QStringLiteral("as set below"));
  QCOMPARE(scene.strip->look().voltage_V, 9.1);
  // Moved back onto a corner's values, it has that corner's name again.
  scene.setting("voltage")->slider()->triggerAction(QAbstractSlider::SliderSingleStepSub);
  QCOMPARE(scene.corners()->currentIndex(), 0);
}

void ConditionsStripTest::movesWithEverySetting() {
  const Scene scene;
  QSignalSpy spy(scene.strip, &ConditionsStrip::lookChanged);
  int changes = 0;
  for (const char* name : {"voltage", "ambient", "pulse", "rest", "cycles"}) {
    const LookAt before = scene.strip->look();
    scene.setting(name)->slider()->triggerAction(QAbstractSlider::SliderPageStepAdd);
    QVERIFY(scene.strip->look() != before);
    QCOMPARE(spy.size(), ++changes);
    const LookAt slid = scene.strip->look();
    scene.setting(name)->field()->stepDown();
    QVERIFY(scene.strip->look() != slid);
    QCOMPARE(spy.size(), ++changes);
    QVERIFY(scene.setting(name)->field()->text().size() > 0);
  }
  scene.type("pulse", "0.345");
  QCOMPARE(scene.strip->look().on_s, 0.345);
  QCOMPARE(spy.size(), ++changes);
  QTest::keyClick(scene.strip->findChild<QCheckBox*>(), Qt::Key_Space);
  QVERIFY(scene.strip->look().after_trip);
  QCOMPARE(spy.size(), ++changes);
}

void ConditionsStripTest::hotCyclesBelongToTheHotAmbient() {
  const Scene scene;
  QCOMPARE(scene.strip->cyclesPointer(), std::string("/use/cycles"));
  scene.choose(5);
  QCOMPARE(scene.strip->look().ambient_C, 80.0);
  QCOMPARE(scene.strip->look().cycles, 5);
  QCOMPARE(scene.strip->cyclesPointer(), std::string("/use/hot_cycles"));
  QVERIFY(!scene.button("as the job")->isEnabled());
  // Moved cycles stay whatever the ambient is.
  scene.type("cycles", "7");
  scene.choose(4);
  QCOMPARE(scene.strip->look().cycles, 7);
}

void ConditionsStripTest::unmovedSettingsFollowTheJob() {
  const Scene scene;
  scene.type("rest", "4");
  scene.type("ambient", "55");
  QSignalSpy spy(scene.strip, &ConditionsStrip::lookChanged);
  scene.strip->setStudy(*scene.with([](model::Job& job) {
    job.supply.usual_V = 12.2;
    job.climate.usual_C = 10;
    job.pulse.on_s = 0.5;
    job.use = {8, 4, 2};
  }));
  // Voltage and ambient are one condition: moved together.
  QCOMPARE(scene.strip->look(), (LookAt{12.6, 55, 0.5, 4, 8, false}));
  QCOMPARE(spy.size(), 0);
  QVERIFY(scene.button("as the job")->isEnabled());
}

void ConditionsStripTest::chosenCornerKeepsItsName() {
  const Scene scene;
  scene.choose(0);
  scene.strip->setStudy(*scene.with([](model::Job& job) {
    job.supply.low_V = 8.5;
    job.climate.cold_C = -30;
  }));
  QCOMPARE(scene.strip->look().voltage_V, 8.5);
  QCOMPARE(scene.strip->look().ambient_C, -30.0);
  QCOMPARE(scene.corners()->currentText(), QStringLiteral("weak battery, cold (8.5 V, -30 °C)"));
}

void ConditionsStripTest::goesBackToTheJob() {
  const Scene scene;
  scene.type("pulse", "0.4");
  scene.type("rest", "9");
  scene.type("cycles", "3");
  scene.type("voltage", "13");
  QVERIFY(scene.button("put into the job")->isEnabled());
  QSignalSpy take(scene.strip, &ConditionsStrip::takeOverRequested);
  QTest::mouseClick(scene.button("put into the job"), Qt::LeftButton);
  QCOMPARE(take.size(), 1);
  QTest::mouseClick(scene.button("as the job"), Qt::LeftButton);
  QCOMPARE(scene.strip->look(), (LookAt{13, 23, 0.7, 1.25, 10, false}));
  QVERIFY(!scene.button("put into the job")->isEnabled());
  // They follow the job again.
  scene.strip->setStudy(*scene.with([](model::Job& job) { job.pulse.on_s = 0.9; }));
  QCOMPARE(scene.strip->look().on_s, 0.9);
}

void ConditionsStripTest::refusesWhatIsNotPermitted() {
  const Scene scene;
  scene.strip->setSentence(QStringLiteral("works through all 10 cycles"), true, true);
  QSignalSpy spy(scene.strip, &ConditionsStrip::lookChanged);
  // The tables permit 4 to 36 V (docs/job.schema.json).
  scene.type("voltage", "40");
  QCOMPARE(scene.strip->look().voltage_V, 12.6);
  QCOMPARE(spy.size(), 0);
  QCOMPARE(scene.setting("voltage")->field()->value(), 40.0);
  QCOMPARE(scene.said(),
           QStringLiteral("✕ voltage: 40 V is not permitted, only 4 to 36 V; it stays at 12.6 V"));
  QVERIFY(
      scene.setting("voltage")->field()->accessibleDescription().contains(QStringLiteral("not permitted")));
  scene.type("voltage", "36");
  QCOMPARE(scene.strip->look().voltage_V, 36.0);
  QCOMPARE(scene.said(), QStringLiteral("✓ holds here: works through all 10 cycles"));
  // Arrows stop at the end of what is permitted.
  scene.setting("voltage")->field()->stepUp();
  QCOMPARE(scene.strip->look().voltage_V, 36.0);
}

void ConditionsStripTest::clipsNothing() {
  const Scene scene;
  // Beyond the sliders and between their steps.
  scene.type("rest", "250.123");
  scene.type("ambient", "-55.5");
  QCOMPARE(scene.strip->look().gap_s, 250.123);
  QCOMPARE(scene.strip->look().ambient_C, -55.5);
  QCOMPARE(scene.setting("ambient")->slider()->value(), scene.setting("ambient")->slider()->minimum());
  QCOMPARE(scene.setting("rest")->slider()->value(), scene.setting("rest")->slider()->maximum());
  QCOMPARE(scene.setting("rest")->field()->text(), QStringLiteral("250.123 s"));
  // A job's own digits are not rounded by being shown.
  scene.strip->setStudy(*scene.with([](model::Job& job) { job.pulse.on_s = 0.123456; }));
  QCOMPARE(scene.strip->look().on_s, 0.123456);
  scene.setting("pulse")->field()->setFocus();
  scene.setting("cycles")->field()->setFocus();
  QCOMPARE(scene.strip->look().on_s, 0.123456);
}

void ConditionsStripTest::takesALook() {
  const Scene scene;
  QSignalSpy spy(scene.strip, &ConditionsStrip::lookChanged);
  LookAt look = scene.strip->look();
  look.voltage_V = 14.4;
  look.ambient_C = 80;
  scene.strip->setLook(look);
  QCOMPARE(spy.size(), 1);
  QCOMPARE(scene.corners()->currentText(), QStringLiteral("as set below"));
  // Cycles that nobody moved are those of the hot ambient.
  QCOMPARE(scene.strip->look(), (LookAt{14.4, 80, 0.7, 1.25, 5, false}));
  scene.strip->setLook(scene.strip->look());
  QCOMPARE(spy.size(), 1);
  look.cycles = 20;
  look.after_trip = true;
  scene.strip->setLook(look);
  QCOMPARE(scene.strip->look(), look);
  scene.strip->setStudy(*scene.with([](model::Job& job) { job.use.hot_cycles = 2; }));
  QCOMPARE(scene.strip->look(), look);
}

void ConditionsStripTest::unitsOfTheReader() {
  const Scene scene;
  QSignalSpy spy(scene.strip, &ConditionsStrip::lookChanged);
  scene.strip->setUnits(units::UnitSystem::us);
  QCOMPARE(spy.size(), 0);
  // 23 °C = 73.4 °F, 80 °C = 176 °F, 50 °F = 10 °C.
  QCOMPARE(scene.setting("ambient")->field()->text(), QStringLiteral("73.4 °F"));
  QVERIFY(scene.corners()->itemText(8).contains(QStringLiteral("176 °F")));
  scene.type("ambient", "50");
  QVERIFY(std::abs(scene.strip->look().ambient_C - 10) < 1e-9);
  scene.choose(8);
  QCOMPARE(scene.strip->look().ambient_C, 80.0);
  scene.strip->setUnits(units::UnitSystem::metric);
  QCOMPARE(scene.setting("ambient")->field()->text(), QStringLiteral("80 °C"));
  QCOMPARE(scene.strip->look().ambient_C, 80.0);
}

void ConditionsStripTest::saysWhatHappens() {
  const Scene scene;
  scene.strip->setSentence(QStringLiteral("3 of 10 cycles"), false, true);
  QCOMPARE(scene.said(), QStringLiteral("✕ fails here: 3 of 10 cycles"));
  scene.strip->setSentence(QStringLiteral("3 of 10 cycles"), false, false);
  QCOMPARE(scene.said(), QStringLiteral("✕ fails here: 3 of 10 cycles (computing…)"));
  scene.strip->setSentence({}, true, true);
  QVERIFY(scene.said().isEmpty());
}

void ConditionsStripTest::fitsTheWindow() {
  for (const int width : {800, 1280, 1920}) {
    for (const auto units : {units::UnitSystem::metric, units::UnitSystem::us}) {
      const Scene scene(width);
      scene.strip->setUnits(units);
      scene.strip->setSentence(QString(300, u'w'), false, true);
      QTest::qWait(0);
      QCOMPARE(scene.window.width(), width);
      QVERIFY(scene.strip->height() <= 110);
      QCOMPARE(scene.strip->height(), scene.strip->sizeHint().height());
      QList<QRect> taken;
      for (const QWidget* each : scene.strip->findChildren<QWidget*>()) {
        if (!each->isVisible() || qobject_cast<const LookSetting*>(each)) continue;
        // Inner parts of boxes lie on their boxes.
        if (each->parentWidget() != scene.strip && !qobject_cast<LookSetting*>(each->parentWidget()))
          continue;
        const QRect at(each->mapTo(scene.strip, QPoint()), each->size());
        QVERIFY(scene.strip->rect().contains(at));
        for (const QRect& other : taken) QVERIFY(!at.intersects(other));
        taken << at;
        if (const auto* field = qobject_cast<const QDoubleSpinBox*>(each)) {
          const auto* edit = field->findChild<QLineEdit*>();
          QVERIFY(edit->fontMetrics().horizontalAdvance(field->text()) + 4 <= edit->width());
        } else {
          QVERIFY(at.width() >= each->minimumSizeHint().width());
        }
        if (each->focusPolicy() & Qt::TabFocus)
          QVERIFY(!each->accessibleName().isEmpty() || qobject_cast<const QAbstractButton*>(each));
      }
    }
  }
}

QTEST_MAIN(ConditionsStripTest)
#include "conditions_strip_test.moc"
