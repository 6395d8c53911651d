// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/bench_page.h"

#include <QSignalSpy>
#include <QTemporaryDir>
#include <QTest>
#include <cmath>

#include "base/text.h"
#include "desk/window.h"
#include "documents.h"
#include "support/desk_words.h"

using namespace latchwright;
using namespace latchwright::desk;

namespace {

constexpr int patience = 240000;  // ms; the sanitizers are slow

struct Scene {
  Document document;
  std::unique_ptr<BenchPage> page;

  explicit Scene(const char* job = nullptr) {
    QVERIFY(document.setPartFiles({}).empty());
    if (job != nullptr) QVERIFY(document.open(tests::example(job)).empty());
    page = std::make_unique<BenchPage>(document);
    page->setStyle({});
    page->resize(1280, 760);
    page->show();
    page->activateWindow();
    QVERIFY(QTest::qWaitForWindowActive(page.get()));
  }
  bool sheetIsThere() const { return page->sheet().isCurrent(); }
  bool triageIsThere() const { return page->triage().isCurrent(); }
  QString cell(const QString& reading, int column) const {
    const FlatTable& table = page->sheet().table();
    for (int row = 0; row < table.rowCount(); ++row) {
      if (table.item(row, 0)->text() == reading) return table.item(row, column)->text();
    }
    return QStringLiteral("no such reading");
  }
};

}  // namespace

class BenchPageTest : public QObject {
  Q_OBJECT

 private Q_SLOTS:
  void listsTheJobsActuatorsFirst();
  void showsWhatASoundOneReads();
  void followsActuatorAndCondition();
  void saysHowAReadingIsTaken();
  void showsUsUnits();
  void carriesItsCautions();
  void takesReadings();
  void turnsDownWhatIsNoNumber();
  void ranksTheStates();
  void offersTheNextReading();
  void goesByKeyboard();
  void isAPageOfTheWindow();
};

void BenchPageTest::listsTheJobsActuatorsFirst() {
  Scene scene("five-door-estate.json");
  const auto& study = *scene.document.study();
  const QComboBox& box = scene.page->actuators();
  QCOMPARE(box.currentIndex(), 0);
  QCOMPARE(box.itemData(0).toString().toStdString(), study.doors[0].actuator->id);
  QVERIFY(box.itemText(0).startsWith(QStringLiteral("of the job")));
  // Every actuator once, and nothing else.
  QStringList listed;
  for (int k = 0; k < box.count(); ++k) {
    const QString id = box.itemData(k).toString();
    if (!id.isEmpty()) listed << id;
  }
  QStringList known;
  for (const auto& id : study.catalogue->ids_of("actuator")) known << QString::fromStdString(id);
  listed.sort();
  known.sort();
  QCOMPARE(listed, known);
  // Without a job the catalogue is there.
  Scene empty;
  QVERIFY(empty.page->actuators().count() > 5);
  QVERIFY(empty.page->subject().part != nullptr);
}

void BenchPageTest::showsWhatASoundOneReads() {
  Scene scene;
  scene.page->choose("act-ordinary-2w");
  QTRY_VERIFY_WITH_TIMEOUT(scene.sheetIsThere(), patience);
  // By hand at 23 °C: 2.2 ohm of copper (IEC 60028) and a thermistor of 0.09 ohm.
  const double cold = 2.2 * (1 + 0.00393 * 3) / (1 + 0.00393 * 5) + 0.09;
  QVERIFY(scene.cell("cold resistance", 1).endsWith(QStringLiteral(" Ω")));
  const double shown = scene.cell("cold resistance", 1).split(QLatin1Char(' ')).front().toDouble();
  QVERIFY(std::fabs(shown - cold) < 0.01);
  const double amps = scene.cell("held current at once", 1).split(QLatin1Char(' ')).front().toDouble();
  QVERIFY(std::fabs(amps - (12.6 - 0.8) / cold) < 0.02);
  QVERIFY(scene.cell("cold resistance", 2).contains(QStringLiteral(" to ")));
  QCOMPARE(scene.page->sheet().pictures().views().size(), std::size_t(2));
  QVERIFY(shown_words(*scene.page)
              .contains(QStringLiteral("Example part: measure yours before promising this.")));
}

void BenchPageTest::followsActuatorAndCondition() {
  Scene scene;
  scene.page->choose("act-ordinary-2w");
  QTRY_VERIFY_WITH_TIMEOUT(scene.sheetIsThere(), patience);
  const QString before = scene.cell("held current at once", 1);
  scene.page->supply().field()->setFocus();
  scene.page->supply().field()->setValue(9);
  QCOMPARE(scene.page->subject().supply_V, 9.0);
  QTRY_VERIFY_WITH_TIMEOUT(scene.sheetIsThere(), patience);
  const double amps = scene.cell("held current at once", 1).split(QLatin1Char(' ')).front().toDouble();
  // Ohm's law between the two voltages, the brushes' 0.8 V taken off.
  const double was = before.split(QLatin1Char(' ')).front().toDouble();
  QVERIFY(std::fabs(amps - was * (9 - 0.8) / (12.6 - 0.8)) < 0.03);
  scene.page->ambient().slider()->setValue(scene.page->ambient().slider()->maximum());
  QVERIFY(scene.page->subject().ambient_C > 23);
  QCOMPARE(scene.page->triage().readings().ambient_C, scene.page->subject().ambient_C);
  scene.page->choose("act-ordinary-ceramic");
  QTRY_VERIFY_WITH_TIMEOUT(scene.sheetIsThere(), patience);
  QCOMPARE(scene.page->sheet().shown()->part, std::string("act-ordinary-ceramic"));
}

void BenchPageTest::saysHowAReadingIsTaken() {
  Scene scene;
  QTRY_VERIFY_WITH_TIMEOUT(scene.sheetIsThere(), patience);
  FlatTable& table = scene.page->sheet().table();
  for (int row = 0; row < table.rowCount(); ++row) {
    table.setCurrentCell(row, 0);
    const auto& reading = scene.page->sheet().shown()->sheet.readings[static_cast<std::size_t>(row)];
    const QString how =
        QString::fromStdString(reading.name) + QStringLiteral(": ") + QString::fromStdString(reading.remark);
    QVERIFY2(shown_words(scene.page->sheet()).contains(how), qPrintable(how));
  }
}

void BenchPageTest::showsUsUnits() {
  Scene scene;
  QTRY_VERIFY_WITH_TIMEOUT(scene.sheetIsThere(), patience);
  const double newtons = scene.cell("force held cold", 1).split(QLatin1Char(' ')).front().toDouble();
  QVERIFY(scene.cell("force held cold", 1).endsWith(QStringLiteral(" N")));
  scene.page->setStyle({false, units::UnitSystem::us});
  QVERIFY(scene.cell("force held cold", 1).endsWith(QStringLiteral(" lbf")));
  // 1 lbf = 0.45359237 kg * 9.80665 m/s².
  const double pounds = scene.cell("force held cold", 1).split(QLatin1Char(' ')).front().toDouble();
  QVERIFY(std::fabs(pounds * 0.45359237 * 9.80665 / newtons - 1) < 0.01);
  QVERIFY(std::fabs(scene.page->ambient().field()->value() - 73.4) < 0.05);  // 23 °C
}

void BenchPageTest::carriesItsCautions() {
  Scene scene;
  const QString words = shown_words(*scene.page);
  for (const char* word : {"Battery off", "airbag", "Bridge and bypass nothing", "fingers", "hot", "vice",
                           "fuse", "service data"}) {
    QVERIFY2(words.contains(QLatin1String(word)), word);
  }
}

void BenchPageTest::takesReadings() {
  Scene scene;
  BenchTriagePane& pane = scene.page->triage();
  QVERIFY(!pane.readings().leads_ohm.has_value());
  QTest::keyClicks(pane.field("leads"), QStringLiteral("23.5"));
  QCOMPARE(*pane.readings().leads_ohm, 23.5);
  pane.field("leads")->clear();
  QTest::keyClicks(pane.field("leads"), QStringLiteral("OL"));
  QVERIFY(std::isinf(*pane.readings().leads_ohm));
  // 0 is a reading; nothing is none.
  QTest::keyClicks(pane.field("current"), QStringLiteral("0"));
  QCOMPARE(*pane.readings().current_A, 0.0);
  QVERIFY(!pane.readings().supply_V.has_value());
  QTest::keyClicks(pane.field("used"), QStringLiteral("14"));
  QCOMPARE(*pane.readings().used, 14);
  QCOMPARE(pane.readings().on_s, 0.7);
  QTest::keyClicks(pane.field("on"), QStringLiteral("0.5"));
  QCOMPARE(pane.readings().on_s, 0.5);
  pane.choice("moves")->setCurrentIndex(2);
  QCOMPARE(*pane.readings().moves, bench::Moves::one);
  pane.choice("frees")->setCurrentIndex(2);
  QCOMPARE(*pane.readings().frees, false);
  pane.clear();
  QVERIFY(!pane.readings().leads_ohm && !pane.readings().moves && !pane.readings().frees &&
          !pane.readings().used);
  QCOMPARE(pane.readings().on_s, 0.7);
}

void BenchPageTest::turnsDownWhatIsNoNumber() {
  Scene scene;
  BenchTriagePane& pane = scene.page->triage();
  const std::pair<const char*, const char*> bad[] = {
      {"leads", "abc"}, {"leads", "-1"}, {"used", "2.5"}, {"supply", "120"}, {"meter", "1,2,3"}};
  for (const auto& [key, text] : bad) {
    pane.field(key)->clear();
    QTest::keyClicks(pane.field(key), QLatin1String(text));
    QVERIFY2(shown_words(pane).contains(QStringLiteral("✕ ")), text);
    pane.field(key)->clear();
    QVERIFY2(!shown_words(pane).contains(QStringLiteral("✕ ")), text);
  }
  QTest::keyClicks(pane.field("leads"), QStringLiteral("x"));
  QVERIFY(!pane.readings().leads_ohm.has_value());
}

void BenchPageTest::ranksTheStates() {
  Scene scene;
  scene.page->choose("act-ordinary-2w");
  BenchTriagePane& pane = scene.page->triage();
  // No line through it: likeliest open, and no wait helps.
  QTest::keyClicks(pane.field("leads"), QStringLiteral("OL"));
  QTRY_VERIFY_WITH_TIMEOUT(pane.isCurrent(), patience);
  double sum = 0;
  for (const auto& state : pane.triage()->states) sum += state.likelihood;
  QVERIFY(std::fabs(sum - 1) < 1e-9);
  QCOMPARE(pane.triage()->states.front().state, bench::State::open);
  QCOMPARE(pane.states().item(0, 0)->text(), state_words(bench::State::open));
  QCOMPARE(pane.states().item(0, 1)->text(), percent_text(pane.triage()->states.front().likelihood));
  QVERIFY(!pane.states().item(0, 2)->text().isEmpty());
  QVERIFY(!shown_words(pane).contains(QStringLiteral("leave it off")) || pane.triage()->wait);
  // Used hard just now and dead: it waits, and the wait is told until somebody has waited.
  pane.clear();
  QTest::keyClicks(pane.field("idle"), QStringLiteral("0"));
  QTest::keyClicks(pane.field("used"), QStringLiteral("30"));
  pane.choice("moves")->setCurrentIndex(3);
  QTRY_VERIFY_WITH_TIMEOUT(pane.isCurrent(), patience);
  QCOMPARE(pane.triage()->states.front().state, bench::State::waiting);
  QVERIFY(pane.triage()->wait.has_value());
  QVERIFY(shown_words(pane).contains(QStringLiteral("waiting to cool")));
  QVERIFY(shown_words(pane).contains(QString::fromStdString(base::wait_text(pane.triage()->wait->high))));
  pane.choice("frees")->setCurrentIndex(1);
  QTRY_VERIFY_WITH_TIMEOUT(pane.isCurrent(), patience);
  QCOMPARE(pane.triage()->states.front().state, bench::State::waiting);
  QVERIFY(!pane.triage()->wait.has_value());
  QVERIFY(!shown_words(pane).contains(QStringLiteral("leave it off")));
}

void BenchPageTest::offersTheNextReading() {
  Scene scene;
  BenchTriagePane& pane = scene.page->triage();
  QTRY_VERIFY_WITH_TIMEOUT(pane.isCurrent(), patience);
  QVERIFY(pane.triage()->next.has_value());
  const QString key = QString::fromStdString(pane.triage()->next->reading);
  QWidget* entry = pane.field(key) != nullptr ? static_cast<QWidget*>(pane.field(key)) : pane.choice(key);
  QVERIFY(entry != nullptr);
  QVERIFY(pane.next()->text().contains(entry->accessibleName()));
  QTest::mouseClick(pane.next(), Qt::LeftButton);
  QVERIFY(entry->hasFocus());
}

void BenchPageTest::goesByKeyboard() {
  Scene scene;
  QTRY_VERIFY_WITH_TIMEOUT(scene.sheetIsThere(), patience);
  scene.page->actuators().setFocus();
  QWidgetList passed;
  for (int k = 0; k < 30; ++k) {
    passed << QApplication::focusWidget();
    QTest::keyClick(QApplication::focusWidget(), Qt::Key_Tab);
  }
  const QList<QWidget*> wanted{&scene.page->actuators(),
                               scene.page->ambient().slider(),
                               scene.page->supply().slider(),
                               &scene.page->sheet().table(),
                               scene.page->triage().field("leads"),
                               scene.page->triage().field("current"),
                               scene.page->triage().choice("frees"),
                               &scene.page->triage().states()};
  qsizetype last = -1;
  for (QWidget* each : wanted) {
    const qsizetype place = passed.indexOf(each);
    QVERIFY2(place > last, qPrintable(each->accessibleName()));
    last = place;
  }
  for (QWidget* each : passed)
    QVERIFY2(!each->accessibleName().isEmpty() || qobject_cast<QPushButton*>(each),
             each->metaObject()->className());
  QSignalSpy leave(scene.page.get(), &BenchPage::leaveRequested);
  scene.page->triage().field("leads")->setFocus();
  QTest::keyClick(scene.page->triage().field("leads"), Qt::Key_Escape);
  QCOMPARE(leave.count(), 1);
}

void BenchPageTest::isAPageOfTheWindow() {
  QTemporaryDir folder;
  Preferences preferences(folder.filePath(QStringLiteral("settings.ini")));
  Window window(preferences, folder.filePath(QStringLiteral("rescue")));
  window.resize(1280, 800);
  window.show();
  window.begin({});
  window.activateWindow();
  QVERIFY(QTest::qWaitForWindowActive(&window));
  QVERIFY(!window.isAtBench());
  QTest::keyClick(&window, Qt::Key_B, Qt::ControlModifier);
  QVERIFY(window.isAtBench());
  QVERIFY(window.bench().isVisible());
  QVERIFY(!window.run().isVisible());
  QTRY_VERIFY_WITH_TIMEOUT(window.bench().sheet().isCurrent(), patience);
  QTest::keyClick(QApplication::focusWidget(), Qt::Key_Escape);
  QVERIFY(!window.isAtBench());
  QVERIFY(window.run().isVisible());
  // A job that opens meanwhile brings its actuators along.
  QVERIFY(window.document().open(tests::example("five-door-estate.json")).empty());
  QTest::keyClick(&window, Qt::Key_B, Qt::ControlModifier);
  QVERIFY(window.bench().actuators().itemText(0).startsWith(QStringLiteral("of the job")));
  window.setUnits(units::UnitSystem::us);
  QVERIFY(std::fabs(window.bench().ambient().field()->value() - 73.4) < 0.05);
  QTest::keyClick(&window, Qt::Key_B, Qt::ControlModifier);
  QVERIFY(!window.isAtBench());
  window.recovery().forget();
}

QTEST_MAIN(BenchPageTest)
#include "bench_page_test.moc"
