// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/weakest_line.h"

#include <QSignalSpy>
#include <QTest>
#include <QVBoxLayout>

#include "desk/wrapped_text.h"
#include "hand_made.h"

using namespace latchwright;
using namespace latchwright::desk;
using namespace latchwright::tests;
using verdict::CheckId;

namespace {

verdict::Cure cure(const std::string& pointer, double now, double then, const std::string& text) {
  return {{pointer, now, then, text}, {}, {}};
}

/// The line in a window of this width.
struct Scene {
  QWidget window;
  WeakestLine* line = new WeakestLine(&window);

  explicit Scene(int width = 1280) {
    auto* layout = new QVBoxLayout(&window);
    layout->addWidget(line);
    layout->addStretch();
    window.resize(width, 300);
    window.show();
  }
  void set(const VerdictState& verdict) {
    line->setVerdict(verdict);
    QTest::qWait(0);
  }
  QList<QPushButton*> shown(const QString& text) const {
    QList<QPushButton*> found;
    for (QPushButton* button : line->findChildren<QPushButton*>()) {
      if (button->isVisible() && button->text() == text) found << button;
    }
    return found;
  }
};

verdict::CheckRow failing() {
  verdict::CheckRow made = row(CheckId::lockout, std::nullopt, "installation", 3, 5, "cycles");
  made.at = verdict::At{14.4, 80};
  return made;
}

}  // namespace

class WeakestLineTest : public QObject {
  Q_OBJECT

 private Q_SLOTS:
  void saysWhatFails();
  void saysWhenNothingFails();
  void offersCures();
  void saysWhatACureBreaks();
  void wordsAloneAreNotApplied();
  void saysWhenThereIsNone();
  void waitsForTheNewVerdict();
  void offersToChoose();
  void leadsToTheLink();
  void longNamesStayInside();
  void unitsOfTheReader();
};

void WeakestLineTest::saysWhatFails() {
  const StudyPtr study = full_study(2);
  Scene scene;
  scene.set(verdict_of(study, {row(CheckId::relay, std::nullopt, "relay", 48, 40, "A"), failing()}));
  QCOMPARE(
      scene.line->text(),
      QStringLiteral("✕ Weakest: keeps working when locked again and again, installation (14.4 V, 80 °C): "
                     "3 of 5 cycles: fails."));
  verdict::Rows rows{row(CheckId::relay, std::nullopt, "relay", 39, 40, "A"), failing()};
  scene.set(verdict_of(study, rows));
  QVERIFY(scene.line->text().endsWith(QStringLiteral("fails. One more fails.")));
  rows.push_back(row(CheckId::stroke, 1, "", 15, 16, "mm"));
  scene.set(verdict_of(study, rows));
  QVERIFY(scene.line->text().endsWith(QStringLiteral("fails. 2 more fail.")));
}

void WeakestLineTest::saysWhenNothingFails() {
  const StudyPtr study = full_study(2);
  Scene scene;
  // 22 / 21 = 1.05 (1.0476), below the 1.15 at which a physical edge is no longer tight.
  scene.set(verdict_of(study, {row(CheckId::stroke, 0, "", 22, 21, "mm")}));
  const QString door = QString::fromStdString(study->job.doors[0].name);
  QCOMPARE(scene.line->text(),
           QStringLiteral("! Nothing fails. Weakest: actuator reaches the lock's full travel, "
                          "%1 (9 V, -20 °C): have 22.0 mm, need 21.0 mm, margin 1.05: tight.")
               .arg(door));
  QVERIFY(scene.line->hint().isEmpty());
  scene.set({});
  QVERIFY(scene.line->text().startsWith(QStringLiteral("No job yet.")));
  scene.set({study, nullptr, false, false});
  QVERIFY(scene.line->text().startsWith(QStringLiteral("Checking")));
}

void WeakestLineTest::offersCures() {
  const StudyPtr study = full_study(2);
  Scene scene;
  verdict::CheckRow weak = failing();
  weak.cures = {cure("/pulse/on_s", 0.7, 0.46, "a shorter pulse: 0.46 s instead of 0.7 s"),
                cure("/use/gap_s", 1, 8.2, "a longer rest between pulses: 8.2 s instead of 1 s"),
                cure("/feed/length_m", 2.4, 1.1, "a shorter feed: 1.1 m instead of 2.4 m"),
                cure("/use/hot_cycles", 5, 3, "fewer cycles")};
  scene.set(verdict_of(study, {weak}));
  const auto buttons = scene.shown(QStringLiteral("Apply"));
  QCOMPARE(buttons.size(), 3);
  std::vector<verdict::Change> told;
  connect(scene.line, &WeakestLine::applyRequested, this,
          [&](const verdict::Change& change) { told.push_back(change); });
  for (int k = 0; k < 3; ++k) {
    QVERIFY(buttons[k]->accessibleName().startsWith(QStringLiteral("Apply: ")));
    QVERIFY(buttons[k]->accessibleName().contains(QString::fromStdString(weak.cures[k].change.text)));
    QTest::mouseClick(buttons[k], Qt::LeftButton);
    QCOMPARE(told.size(), std::size_t(k + 1));
    QVERIFY(told.back() == weak.cures[k].change);
  }
  const auto more = scene.shown(QStringLiteral("more…"));
  QCOMPARE(more.size(), 1);
  QSignalSpy link_spy(scene.line, &WeakestLine::linkRequested);
  QTest::mouseClick(more.front(), Qt::LeftButton);
  QCOMPARE(link_spy.size(), 1);
  weak.cures.pop_back();
  scene.set(verdict_of(study, {weak}));
  QVERIFY(scene.shown(QStringLiteral("more…")).isEmpty());
}

void WeakestLineTest::saysWhatACureBreaks() {
  const StudyPtr study = full_study(2);
  Scene scene;
  verdict::CheckRow weak = failing();
  weak.cures = {cure("/doors/1/wire", 0, 1, "a thicker door run")};
  weak.cures[0].breaks = {CheckId::fuse_guard};
  scene.set(verdict_of(study, {weak}));
  auto buttons = scene.shown(QStringLiteral("Apply"));
  QCOMPARE(buttons.size(), 1);
  QVERIFY(buttons[0]->isEnabled());
  QVERIFY(buttons[0]->accessibleName().contains(QStringLiteral("but then “fuse protects the wire” fails")));
  // The installation's row does not say which door.
  QVERIFY(buttons[0]->accessibleName().contains(QString::fromStdString(study->job.doors[1].name)));
  weak.cures[0].breaks = {CheckId::fuse_guard, CheckId::relay};
  scene.set(verdict_of(study, {weak}));
  buttons = scene.shown(QStringLiteral("Apply"));
  QVERIFY(buttons[0]->accessibleName().contains(QStringLiteral("2 other checks fail")));
}

void WeakestLineTest::wordsAloneAreNotApplied() {
  const StudyPtr study = full_study(2);
  Scene scene;
  verdict::CheckRow weak = row(CheckId::stroke, 0, "", 15, 16, "mm");
  weak.cures = {
      {{"/doors/0/actuator", std::string("act-ordinary-2w"), {}, "an actuator with at least 16 mm of travel"},
       {},
       {}}};
  scene.set(verdict_of(study, {weak}));
  QVERIFY(scene.shown(QStringLiteral("Apply")).isEmpty());
  bool said = false;
  for (const WrappedText* text : scene.line->findChildren<WrappedText*>()) {
    said = said || (text->isVisible() &&
                    text->accessibleName() == QStringLiteral("an actuator with at least 16 mm of travel"));
  }
  QVERIFY(said);
}

void WeakestLineTest::saysWhenThereIsNone() {
  const StudyPtr study = full_study(2);
  Scene scene;
  VerdictState verdict = verdict_of(study, {failing()});
  verdict.cures_known = false;
  scene.set(verdict);
  QCOMPARE(scene.line->hint(), QStringLiteral("looking for cures…"));
  verdict.cures_known = true;
  scene.set(verdict);
  QCOMPARE(scene.line->hint(), QStringLiteral("No single change of pulse, rest, wire, length, fuse, relay or "
                                              "actuator within the catalogue cures this."));
  QVERIFY(scene.shown(QStringLiteral("Apply")).isEmpty());
}

void WeakestLineTest::waitsForTheNewVerdict() {
  const StudyPtr study = full_study(2);
  Scene scene;
  verdict::CheckRow weak = failing();
  weak.cures = {cure("/pulse/on_s", 0.7, 0.46, "a shorter pulse: 0.46 s instead of 0.7 s")};
  VerdictState verdict = verdict_of(study, {weak});
  scene.set(verdict);
  const QString before = scene.line->text();
  verdict.current = false;
  scene.set(verdict);
  QCOMPARE(scene.line->text(), before);
  const auto buttons = scene.shown(QStringLiteral("Apply"));
  QCOMPARE(buttons.size(), 1);
  QVERIFY(!buttons[0]->isEnabled());
  bool marked = false;
  for (const QLabel* label : scene.line->findChildren<QLabel*>()) {
    marked = marked || (label->isVisible() && label->text() == QStringLiteral("computing…"));
  }
  QVERIFY(marked);
}

void WeakestLineTest::offersToChoose() {
  Scene scene;
  const StudyPtr open = open_study(5);
  scene.set({open, nullptr, true, false});
  QCOMPARE(scene.line->text(),
           QStringLiteral("○ Not chosen yet: feed wire, main fuse, relay, actuators of 5 doors, "
                          "wires of 5 doors, fuses of 5 doors."));
  const auto buttons = scene.shown(QStringLiteral("Choose parts"));
  QCOMPARE(buttons.size(), 1);
  QSignalSpy spy(scene.line, &WeakestLine::chooseRequested);
  QTest::mouseClick(buttons[0], Qt::LeftButton);
  QCOMPARE(spy.size(), 1);

  model::Job job = full_study(5)->job;
  job.doors[3].actuator.reset();
  scene.set({again(*open, job), nullptr, true, false});
  QCOMPARE(
      scene.line->text(),
      QStringLiteral("○ Not chosen yet: actuator of %1.").arg(QString::fromStdString(job.doors[3].name)));
  scene.set(verdict_of(full_study(5), {failing()}));
  QVERIFY(scene.shown(QStringLiteral("Choose parts")).isEmpty());
}

void WeakestLineTest::leadsToTheLink() {
  const StudyPtr study = full_study(2);
  Scene scene;
  const verdict::CheckRow weak = row(CheckId::relay, std::nullopt, "relay", 30, 40, "A");
  scene.set(verdict_of(study, {weak}));
  std::vector<report::Link> told;
  connect(scene.line, &WeakestLine::linkRequested, this,
          [&](const report::Link& link) { told.push_back(link); });
  WrappedText* text = nullptr;
  for (WrappedText* each : scene.line->findChildren<WrappedText*>()) {
    if (each->accessibleName() == scene.line->text()) text = each;
  }
  QVERIFY(text != nullptr);
  QTest::mouseClick(text, Qt::LeftButton);
  text->setFocus();
  QTest::keyClick(text, Qt::Key_Return);
  const std::vector<report::Link> expected(2, report::link_of(*study, weak));
  QVERIFY(told == expected);
  QCOMPARE(told[0].kind, report::LinkKind::relay);
  // Without a verdict there is nowhere to go.
  scene.set({study, nullptr, false, false});
  QTest::mouseClick(text, Qt::LeftButton);
  QCOMPARE(told.size(), std::size_t(2));
}

void WeakestLineTest::longNamesStayInside() {
  StudyPtr study = full_study(12);
  model::Job job = study->job;
  job.doors[0].name = "front && left <b>" + std::string(43, 'W');
  study = again(*study, job);
  for (const int width : {900, 1280, 1920}) {
    Scene scene(width);
    verdict::CheckRow weak = row(CheckId::fuse_guard, 0, "", 3, 5, "s");
    for (int k = 0; k < 5; ++k) {
      weak.cures.push_back(
          cure("/doors/0/wire", 0, 1, "a thicker door run: Vehicle cable 2.0 mm², thin wall, PVC"));
      weak.cures.back().breaks = {CheckId::volt_drop};
    }
    scene.set(verdict_of(study, {weak}));
    QVERIFY(scene.line->text().contains(QString::fromStdString(job.doors[0].name)));
    QCOMPARE(scene.window.width(), width);
    QVERIFY(scene.line->height() <= 6 * scene.line->fontMetrics().height());
    for (const QWidget* each : scene.line->findChildren<QWidget*>()) {
      if (!each->isVisible()) continue;
      const QRect at(each->mapTo(scene.line, QPoint()), each->size());
      QVERIFY(scene.line->rect().contains(at));
      if (const auto* text = qobject_cast<const WrappedText*>(each)) {
        QVERIFY(text->textWidth() <= text->width());
        QVERIFY(text->linesAt(text->width()).size() * text->fontMetrics().height() <= text->height());
        // An ampersand in a name is no shortcut.
        QVERIFY(text->shortcut().isEmpty());
      }
    }
  }
}

void WeakestLineTest::unitsOfTheReader() {
  const StudyPtr study = full_study(2);
  Scene scene;
  scene.line->setUnits(units::UnitSystem::us);
  scene.set(verdict_of(study, {row(CheckId::stroke, 0, "", 22, 21, "mm")}));
  QVERIFY(scene.line->text().contains(QStringLiteral("have 0.866 in, need 0.827 in")));
  scene.line->setUnits(units::UnitSystem::metric);
  QVERIFY(scene.line->text().contains(QStringLiteral("have 22.0 mm, need 21.0 mm")));
}

QTEST_MAIN(WeakestLineTest)
#include "weakest_line_test.moc"
