// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/spread_page.h"

#include <QSignalSpy>
#include <QTabBar>
#include <QTemporaryDir>
#include <QTest>
#include <cmath>

#include "desk/window.h"
#include "documents.h"
#include "support/desk_words.h"

using namespace latchwright;
using namespace latchwright::desk;

namespace {

constexpr int patience = 240000;  // ms; the sanitizers are slow

struct Scene {
  Document document;
  std::unique_ptr<SpreadPage> page;

  explicit Scene(const char* job = nullptr) {
    QVERIFY(document.setPartFiles({}).empty());
    if (job != nullptr) QVERIFY(document.open(tests::example(job)).empty());
    page = std::make_unique<SpreadPage>(document);
    page->setStyle({});
    page->resize(1280, 760);
    page->show();
    page->activateWindow();
    QVERIFY(QTest::qWaitForWindowActive(page.get()));
  }
  ChancesPane& chances() { return page->chances(); }
  MapPane& map() { return page->map(); }
  /// A few installations and one cycle: quick under the sanitizers too.
  void makeQuick() {
    enter(chances().samples(), 12);
    enter(chances().cycles(), 1);
    enter(map().cycles(), 1);
    enter(map().coldest(), 60);
    enter(map().hottest(), 65);
  }
  static void enter(LookSetting& setting, double value) { setting.field()->setValue(value); }
  static void press(QPushButton& button) { QTest::mouseClick(&button, Qt::LeftButton); }
};

bool is_greyed(const SpreadPane& pane, const QString& words) {
  for (const auto* label : pane.findChildren<QLabel*>()) {
    if (label->text() == words) return !label->isEnabled();
  }
  return false;
}

}  // namespace

class SpreadPageTest : public QObject {
  Q_OBJECT

 private Q_SLOTS:
  void waitsForAFinishedJob();
  void followsTheJobUntilMoved();
  void computesChances();
  void greysWhatIsOfAnotherJob();
  void keepsWhatIsDoneWhenStopped();
  void turnsDownWhatIsNotPermitted();
  void drawsMaps();
  void leavesTheLastMapWhenStopped();
  void goesByKeyboard();
  void isAPageOfTheWindow();
};

void SpreadPageTest::waitsForAFinishedJob() {
  Scene none;
  QVERIFY(!none.chances().runButton().isEnabled());
  QVERIFY(!none.map().runButton().isEnabled());
  QCOMPARE(none.chances().status(), QStringLiteral("There is no job yet."));
  Scene open("taxi-open.json");
  QVERIFY(!open.chances().runButton().isEnabled());
  QVERIFY(open.map().status().contains(QStringLiteral("choose its parts")));
  Scene whole("five-door-estate.json");
  QVERIFY(whole.chances().runButton().isEnabled());
  QVERIFY(!whole.chances().stopButton().isEnabled());
  QVERIFY(!whole.chances().isCurrent());
  QCOMPARE(whole.map().status(), QStringLiteral("Not computed yet."));
}

void SpreadPageTest::followsTheJobUntilMoved() {
  Scene scene("five-door-estate.json");
  const auto& job = scene.document.study()->job;
  auto plan = scene.chances().plan();
  QCOMPARE(plan.voltage_V, job.supply.usual_V);
  QCOMPARE(plan.ambient_C, job.climate.usual_C);
  QCOMPARE(plan.cycles, job.use.cycles);
  QCOMPARE(plan.on_s, job.pulse.on_s);
  QCOMPARE(plan.gap_s, job.use.gap_s);
  QCOMPARE(plan.samples, std::int64_t(2000));
  const int hot_cycles = job.use.hot_cycles;
  const double hot_C = job.climate.hot_C;
  Scene::enter(scene.chances().ambient(), hot_C);
  QCOMPARE(scene.chances().plan().cycles, hot_cycles);
  QVERIFY(tests::set(scene.document, "/use/gap_s", model::Raw(2.5)).empty());
  QCOMPARE(scene.chances().plan().gap_s, 2.5);
  QCOMPARE(scene.chances().plan().ambient_C, hot_C);  // moved: stays
  QCOMPARE(scene.chances().plan().cycles, hot_cycles);
  QCOMPARE(scene.map().plan().gap_s, 2.5);
  for (auto* button : scene.chances().findChildren<QPushButton*>()) {
    if (button->text().contains(QStringLiteral("as the"))) Scene::press(*button);
  }
  QCOMPARE(scene.chances().plan().ambient_C, scene.document.study()->job.climate.usual_C);
}

void SpreadPageTest::computesChances() {
  Scene scene("five-door-estate.json");
  scene.makeQuick();
  Scene::press(scene.chances().runButton());
  QVERIFY(scene.chances().isRunning());
  QVERIFY(scene.chances().stopButton().isEnabled());
  QVERIFY(!scene.chances().runButton().isEnabled());
  QTRY_VERIFY_WITH_TIMEOUT(scene.chances().isCurrent(), patience);
  const auto& result = scene.chances().result();
  QVERIFY(result.has_value());
  QCOMPARE(result->done, std::int64_t(12));
  QCOMPARE(result->plan.cycles, 1);
  QVERIFY(scene.chances().status().startsWith(QStringLiteral("12 installations, computed in ")));
  QVERIFY(!scene.chances().sentences().isEmpty());
  QVERIFY(scene.chances().pictures().views().size() >= 3);
  // The same draw says the same; what the user wants to keep can be saved.
  const QString before = scene.chances().sentences();
  Scene::press(scene.chances().runButton());
  QTRY_VERIFY_WITH_TIMEOUT(scene.chances().isCurrent(), patience);
  QCOMPARE(scene.chances().sentences(), before);
  QSignalSpy saved(scene.page.get(), &SpreadPage::saveRequested);
  Q_EMIT scene.chances().pictures().views().front()->saveRequested();
  QCOMPARE(saved.count(), 1);
}

void SpreadPageTest::greysWhatIsOfAnotherJob() {
  Scene scene("five-door-estate.json");
  scene.makeQuick();
  scene.chances().run();
  QTRY_VERIFY_WITH_TIMEOUT(scene.chances().isCurrent(), patience);
  const QString said = scene.chances().sentences();
  const auto views = scene.chances().pictures().views().size();
  QVERIFY(!is_greyed(scene.chances(), said));
  Scene::enter(scene.chances().rest(), 3);
  QVERIFY(!scene.chances().isCurrent());
  QVERIFY(scene.chances().status().contains(QStringLiteral("settings have changed")));
  QCOMPARE(scene.chances().sentences(), said);
  QVERIFY(is_greyed(scene.chances(), said));
  Scene::enter(scene.chances().rest(), scene.document.study()->job.use.gap_s);
  QVERIFY(scene.chances().isCurrent());
  QVERIFY(tests::set(scene.document, "/title", model::Raw("another")).empty());
  QVERIFY(!scene.chances().isCurrent());
  QVERIFY(scene.chances().status().contains(QStringLiteral("job has changed")));
  QVERIFY(is_greyed(scene.chances(), said));
  QCOMPARE(scene.chances().pictures().views().size(), views);
  scene.chances().run();
  QVERIFY(is_greyed(scene.chances(), said));
  QTRY_VERIFY_WITH_TIMEOUT(scene.chances().isCurrent(), patience);
  QVERIFY(!is_greyed(scene.chances(), scene.chances().sentences()));
}

void SpreadPageTest::keepsWhatIsDoneWhenStopped() {
  Scene scene("five-door-estate.json");
  scene.makeQuick();
  Scene::enter(scene.chances().samples(), 5000);
  Scene::press(scene.chances().runButton());
  // Until the first of them are through.
  auto* bar = scene.chances().findChild<QProgressBar*>();
  QTRY_VERIFY_WITH_TIMEOUT(bar->value() > 0 || !scene.chances().isRunning(), patience);
  QVERIFY(scene.chances().isRunning());
  QTRY_VERIFY_WITH_TIMEOUT(scene.chances().status().contains(QStringLiteral(" left")), patience);
  Scene::press(scene.chances().stopButton());
  QTRY_VERIFY_WITH_TIMEOUT(!scene.chances().isRunning(), patience);
  const auto& result = scene.chances().result();
  QVERIFY(result.has_value());
  QVERIFY(result->done > 0 && result->done < 5000);
  QCOMPARE(
      scene.chances().status(),
      QStringLiteral("Stopped after %1 of 5000 installations: what is shown is of those.").arg(result->done));
  QVERIFY(!scene.chances().pictures().views().empty());
  QVERIFY(scene.chances().isCurrent());
}

void SpreadPageTest::turnsDownWhatIsNotPermitted() {
  Scene scene("five-door-estate.json");
  const double before = scene.chances().plan().ambient_C;
  Scene::enter(scene.chances().ambient(), 500);
  QVERIFY(!scene.chances().runButton().isEnabled());
  QVERIFY(shown_words(scene.chances()).contains(QStringLiteral("✕ ambient: 500")));
  QCOMPARE(scene.chances().plan().ambient_C, before);
  Scene::enter(scene.chances().ambient(), 60);
  QVERIFY(scene.chances().runButton().isEnabled());
  Scene::enter(scene.map().coldest(), 70);
  Scene::enter(scene.map().hottest(), 60);
  QVERIFY(!scene.map().runButton().isEnabled());
  QVERIFY(shown_words(scene.map()).contains(QStringLiteral("the first is above the second")));
  Scene::enter(scene.map().hottest(), 70);
  QVERIFY(scene.map().runButton().isEnabled());
  scene.map().axis().setCurrentIndex(1);
  Scene::enter(scene.map().longest(), 20);
  QVERIFY(!scene.map().runButton().isEnabled());
}

void SpreadPageTest::drawsMaps() {
  Scene scene("five-door-estate.json");
  scene.page->tabs().setCurrentWidget(&scene.map());
  scene.makeQuick();
  Scene::press(scene.map().runButton());
  QTRY_VERIFY_WITH_TIMEOUT(scene.map().isCurrent(), patience);
  const auto& map = scene.map().map();
  QCOMPARE(map->plan.cycles, 1);
  QCOMPARE(map->ambient_C.front(), 60.0);
  QCOMPARE(map->ambient_C.back(), 65.0);
  QCOMPARE(scene.map().pictures().views().size(), std::size_t(2));
  QVERIFY(scene.map().sentences().contains(QStringLiteral("At 65 °C")));
  QVERIFY(scene.map().status().contains(QStringLiteral("counts, computed in")));
  scene.map().axis().setCurrentIndex(1);
  QVERIFY(!scene.map().isCurrent());
  QCOMPARE(scene.map().plan().over, spread::MapAxis::on);
  QCOMPARE(scene.map().plan().to_s, 3.0);
  Scene::press(scene.map().runButton());
  QTRY_VERIFY_WITH_TIMEOUT(scene.map().isCurrent(), patience);
  QCOMPARE(map->plan.over, spread::MapAxis::on);
  QVERIFY(map->plan.from_s > 0);
  scene.map().axis().setCurrentIndex(0);
  QCOMPARE(scene.map().plan().to_s, 10.0);
}

void SpreadPageTest::leavesTheLastMapWhenStopped() {
  Scene scene("five-door-estate.json");
  scene.page->tabs().setCurrentWidget(&scene.map());
  scene.makeQuick();
  scene.map().run();
  scene.map().stop();
  QCOMPARE(scene.map().status(), QStringLiteral("Stopped: there is no map yet."));
  QVERIFY(!scene.map().isRunning());
  scene.map().run();
  QTRY_VERIFY_WITH_TIMEOUT(scene.map().isCurrent(), patience);
  const QString said = scene.map().sentences();
  Scene::enter(scene.map().cycles(), 1000);
  scene.map().run();
  QVERIFY(scene.map().isRunning());
  Scene::press(scene.map().stopButton());
  QCOMPARE(scene.map().status(), QStringLiteral("Stopped: the map before stays."));
  QCOMPARE(scene.map().sentences(), said);
  QVERIFY(is_greyed(scene.map(), said));
  Scene::enter(scene.map().cycles(), 1);
  QVERIFY(scene.map().isCurrent());
}

void SpreadPageTest::goesByKeyboard() {
  Scene scene("five-door-estate.json");
  for (SpreadPane* pane :
       {static_cast<SpreadPane*>(&scene.chances()), static_cast<SpreadPane*>(&scene.map())}) {
    scene.page->tabs().setCurrentWidget(pane);
    scene.page->tabs().tabBar()->setFocus();
    QWidgetList passed;
    for (int k = 0; k < 40; ++k) {
      passed << QApplication::focusWidget();
      QTest::keyClick(QApplication::focusWidget(), Qt::Key_Tab);
      if (QApplication::focusWidget() == scene.page->tabs().tabBar()) break;
    }
    qsizetype last = 0;
    for (const LookSetting* setting : pane->settings()) {
      if (!setting->isVisible()) continue;
      const qsizetype place = passed.indexOf(setting->field());
      QVERIFY2(place > last, qPrintable(setting->field()->accessibleName()));
      last = place;
    }
    QVERIFY(passed.indexOf(&pane->runButton()) > last);
    for (QWidget* each : passed) {
      QVERIFY2(!each->accessibleName().isEmpty() || qobject_cast<QPushButton*>(each),
               each->metaObject()->className());
    }
  }
  QSignalSpy leave(scene.page.get(), &SpreadPage::leaveRequested);
  QTest::keyClick(QApplication::focusWidget(), Qt::Key_Escape);
  QCOMPARE(leave.count(), 1);
}

void SpreadPageTest::isAPageOfTheWindow() {
  QTemporaryDir folder;
  Preferences preferences(folder.filePath(QStringLiteral("settings.ini")));
  Window window(preferences, folder.filePath(QStringLiteral("rescue")));
  window.resize(1280, 800);
  window.show();
  window.begin(tests::example("five-door-estate.json"));
  window.activateWindow();
  QVERIFY(QTest::qWaitForWindowActive(&window));
  QVERIFY(!window.isAtChances());
  QTest::keyClick(&window, Qt::Key_H, Qt::ControlModifier);
  QVERIFY(window.isAtChances());
  QVERIFY(window.chances().isVisible());
  QVERIFY(!window.run().isVisible());
  QVERIFY(window.chances().chances().runButton().hasFocus());
  // From page to page, and back to the run.
  QTest::keyClick(&window, Qt::Key_B, Qt::ControlModifier);
  QVERIFY(window.isAtBench() && !window.isAtChances());
  QTest::keyClick(&window, Qt::Key_H, Qt::ControlModifier);
  QVERIFY(window.isAtChances() && !window.isAtBench());
  QTest::keyClick(QApplication::focusWidget(), Qt::Key_Escape);
  QVERIFY(!window.isAtChances());
  QVERIFY(window.run().isVisible());
  window.setUnits(units::UnitSystem::us);
  QVERIFY(std::abs(window.chances().chances().ambient().field()->value() - 73.4) < 0.05);  // 23 °C
  window.recovery().forget();
}

QTEST_MAIN(SpreadPageTest)
#include "spread_page_test.moc"
