// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/run_view.h"

#include <QLineEdit>
#include <QScrollBar>
#include <QSignalSpy>
#include <QTest>
#include <QVBoxLayout>

#include "desk/wrapped_text.h"
#include "hand_made.h"

using namespace latchwright;
using namespace latchwright::desk;
using namespace latchwright::tests;
using report::Link;
using report::LinkKind;

namespace {

/// The run between two fields, as wide as a window, shown.
struct Scene {
  QWidget window;
  QLineEdit before, after;
  RunView run;

  explicit Scene(int width) {
    auto* layout = new QVBoxLayout(&window);
    layout->addWidget(&before);
    layout->addWidget(&run);
    layout->addWidget(&after);
    layout->addStretch();
    window.resize(width, 700);
    window.show();
    window.activateWindow();
    QVERIFY(QTest::qWaitForWindowActive(&window));
  }
  ~Scene() {
    for (QWidget* each :
         {static_cast<QWidget*>(&before), static_cast<QWidget*>(&run), static_cast<QWidget*>(&after)}) {
      each->setParent(nullptr);
    }
  }

  Link focus() const {
    const auto* at = qobject_cast<LinkButton*>(QApplication::focusWidget());
    return at ? at->link() : Link{LinkKind::rod, 99};
  }
  void press(Qt::Key key) const { QTest::keyClick(QApplication::focusWidget(), key); }
};

QRect on_screen(const QWidget* widget) { return {widget->mapToGlobal(QPoint()), widget->size()}; }

}  // namespace

class RunViewTest : public QObject {
  Q_OBJECT

 private Q_SLOTS:
  void saysHowLinksStand();
  void showsOneLinkAsAButtonEach();
  void fitsTheWindow_data();
  void fitsTheWindow();
  void arrowsWalkTheRun();
  void straightRunHasNoRowAbove();
  void tabIsOneStop();
  void enterAndSpaceChoose();
  void doorsBeyondSixScroll();
  void staleStatesStay();
  void newStatesKeepTheFocus();
  void unitsOfTheReader();
  void emptyWithoutAJob();
};

void RunViewTest::saysHowLinksStand() {
  const StudyPtr study = full_study(2);
  Scene scene(1280);
  // 3 of 5 cycles: by the row's own figures.
  verdict::CheckRow lockout = row(verdict::CheckId::lockout, std::nullopt, "installation", 3, 5, "cycles");
  scene.run.setVerdict(verdict_of(study, {lockout}), units::UnitSystem::metric);
  auto states = states_of(*study, Link{LinkKind::thermistor, 1}, 0);
  states[2].chosen = false;
  states[2].part = "not chosen";
  states[4].chosen = false;
  states[4].part = "1.0 mm² · fuse not chosen";
  scene.run.setStates(states);

  const LinkButton* failing = scene.run.button({LinkKind::thermistor, 1});
  QCOMPARE(failing->shownState(), QStringLiteral("✕ fails: 3 of 5 cycles"));
  QCOMPARE(failing->face().kind, QStringLiteral("thermistor"));
  QCOMPARE(failing->face().part, QStringLiteral("1.8 Ω"));
  QVERIFY(failing->accessibleName().contains(QString::fromStdString(study->job.doors[1].name)));
  QVERIFY(failing->accessibleName().endsWith(QStringLiteral("fails")));
  for (const char* piece : {"keeps working when locked again and again", "installation", "(9 V, -20 °C)",
                            "3 of 5 cycles", "margin 0.600", "fails", "a reason of one sentence."}) {
    QVERIFY2(failing->accessibleDescription().contains(QString::fromUtf8(piece)), piece);
    QVERIFY2(failing->toolTip().contains(QString::fromUtf8(piece)), piece);
  }
  QCOMPARE(scene.run.button({LinkKind::feed})->shownState(), QStringLiteral("○ not chosen"));
  QCOMPARE(scene.run.button({LinkKind::feed})->face().part, QString());
  QCOMPARE(scene.run.button({LinkKind::feed})->accessibleName(), QStringLiteral("feed: not chosen"));
  QCOMPARE(scene.run.button({LinkKind::door_run, 0})->shownState(), QStringLiteral("○ not chosen"));
  QCOMPARE(scene.run.button({LinkKind::door_run, 0})->face().part,
           QStringLiteral("1.0 mm² · fuse not chosen"));
  QCOMPARE(scene.run.button({LinkKind::battery})->shownState(), QStringLiteral("given"));
  QCOMPARE(scene.run.button({LinkKind::battery})->face().part, QStringLiteral("12.6 V"));
  QCOMPARE(scene.run.button({LinkKind::relay})->shownState(), QStringLiteral("not checked"));

  // A link that holds says its margin: 48 / 40.
  scene.run.setVerdict(verdict_of(study, {row(verdict::CheckId::relay, std::nullopt, "relay", 48, 40, "A")}),
                       units::UnitSystem::metric);
  scene.run.setStates(states_of(*study, Link{LinkKind::relay}, 0));
  QCOMPARE(scene.run.button({LinkKind::relay})->shownState(), QStringLiteral("✓ holds · margin 1.20"));
}

void RunViewTest::showsOneLinkAsAButtonEach() {
  for (const int doors : {1, 5, 12}) {
    const StudyPtr study = full_study(doors);
    Scene scene(1280);
    scene.run.setVerdict({study, nullptr, false, false}, units::UnitSystem::metric);
    QCOMPARE(scene.run.findChildren<LinkButton*>().size(), 4 + 4 * doors);
    for (const Link& link : report::links_of(*study)) {
      const LinkButton* button = scene.run.button(link);
      QVERIFY(button != nullptr);
      QVERIFY(!button->accessibleName().isEmpty());
      QVERIFY(!button->toolTip().isEmpty());
    }
  }
}

void RunViewTest::fitsTheWindow_data() {
  QTest::addColumn<int>("width");
  QTest::addColumn<int>("doors");
  for (const int width : {1024, 1280, 1920}) {
    for (const int doors : {1, 2, 5, 6, 12}) {
      QTest::addRow("%d px, %d doors", width, doors) << width << doors;
    }
  }
}

void RunViewTest::fitsTheWindow() {
  QFETCH(int, width);
  QFETCH(int, doors);
  StudyPtr study = full_study(doors);
  model::Job job = study->job;
  for (std::size_t k = 0; k < job.doors.size(); ++k) {
    job.doors[k].name = std::string(58, k % 2 == 0 ? 'm' : 'W') + std::to_string(10 + k);
  }
  study = again(*study, job);
  Scene scene(width);
  const auto tight = row(verdict::CheckId::stroke, 0, "", 22, 21, "mm");
  scene.run.setVerdict(verdict_of(study, {tight}), units::UnitSystem::metric);
  scene.run.setStates(states_of(*study, Link{LinkKind::rod, 0}, 0));
  QTest::qWait(0);

  if (doors <= 5 && width >= 1280) QVERIFY(scene.run.height() <= 270);
  QCOMPARE(scene.run.height(), scene.run.sizeHint().height());
  const QList<LinkButton*> buttons = scene.run.findChildren<LinkButton*>();
  const QRect whole = on_screen(&scene.run);
  for (const LinkButton* button : buttons) {
    const QRect at = on_screen(button);
    QVERIFY(at.left() >= whole.left() && at.right() <= whole.right());
    QVERIFY(!button->shownState().contains(u'…'));
    for (const LinkButton* other : buttons) {
      if (other != button) QVERIFY(!at.intersects(on_screen(other)));
    }
    // Names stand left of the doors' links.
    for (const WrappedText* name : scene.run.findChildren<WrappedText*>()) {
      QVERIFY(!at.intersects(on_screen(name)));
    }
  }
  const auto* bar = scene.run.findChild<QScrollArea*>()->verticalScrollBar();
  QCOMPARE(bar->maximum() > 0, doors > 6);
}

void RunViewTest::arrowsWalkTheRun() {
  const StudyPtr study = full_study(3);
  Scene scene(1280);
  scene.run.setVerdict({study, nullptr, false, false}, units::UnitSystem::metric);
  scene.run.button({LinkKind::battery})->setFocus();
  for (const Link& next : {Link{LinkKind::main_fuse}, Link{LinkKind::feed}, Link{LinkKind::relay},
                           Link{LinkKind::door_run, 0}, Link{LinkKind::thermistor, 0},
                           Link{LinkKind::motor, 0}, Link{LinkKind::rod, 0}, Link{LinkKind::rod, 0}}) {
    scene.press(Qt::Key_Right);
    QCOMPARE(scene.focus(), next);
  }
  for (const std::size_t door : {1, 2, 2}) {
    scene.press(Qt::Key_Down);
    QCOMPARE(scene.focus(), (Link{LinkKind::rod, door}));
  }
  for (const LinkKind kind : {LinkKind::motor, LinkKind::thermistor, LinkKind::door_run}) {
    scene.press(Qt::Key_Left);
    QCOMPARE(scene.focus(), (Link{kind, 2}));
  }
  scene.press(Qt::Key_Left);
  QCOMPARE(scene.focus(), (Link{LinkKind::relay}));
  // Back into the door that it came from.
  scene.press(Qt::Key_Right);
  QCOMPARE(scene.focus(), (Link{LinkKind::door_run, 2}));
  scene.press(Qt::Key_Up);
  scene.press(Qt::Key_Up);
  QCOMPARE(scene.focus(), (Link{LinkKind::door_run, 0}));
  // The battery stands above the door runs here.
  scene.press(Qt::Key_Up);
  QCOMPARE(scene.focus(), (Link{LinkKind::battery}));
  scene.press(Qt::Key_Down);
  QCOMPARE(scene.focus(), (Link{LinkKind::door_run, 0}));
  scene.press(Qt::Key_End);
  QCOMPARE(scene.focus(), (Link{LinkKind::rod, 0}));
  scene.press(Qt::Key_Home);
  QCOMPARE(scene.focus(), (Link{LinkKind::battery}));
}

void RunViewTest::straightRunHasNoRowAbove() {
  const StudyPtr study = full_study(2);
  Scene scene(2200);
  scene.run.setVerdict({study, nullptr, false, false}, units::UnitSystem::metric);
  QTest::qWait(0);
  // The relay is left of the door runs and not above them.
  QVERIFY(on_screen(scene.run.button({LinkKind::relay})).right() <
          on_screen(scene.run.button({LinkKind::door_run, 0})).left());
  scene.run.button({LinkKind::door_run, 0})->setFocus();
  scene.press(Qt::Key_Up);
  QCOMPARE(scene.focus(), (Link{LinkKind::door_run, 0}));
  scene.press(Qt::Key_Left);
  QCOMPARE(scene.focus(), (Link{LinkKind::relay}));
}

void RunViewTest::tabIsOneStop() {
  const StudyPtr study = full_study(3);
  Scene scene(1280);
  scene.run.setVerdict({study, nullptr, false, false}, units::UnitSystem::metric);
  scene.run.setChosen({LinkKind::motor, 1});
  scene.before.setFocus();
  scene.press(Qt::Key_Tab);
  QCOMPARE(scene.focus(), (Link{LinkKind::motor, 1}));
  scene.press(Qt::Key_Tab);
  QCOMPARE(QApplication::focusWidget(), static_cast<QWidget*>(&scene.after));
  QTest::keyClick(&scene.after, Qt::Key_Backtab, Qt::ShiftModifier);
  QCOMPARE(scene.focus(), (Link{LinkKind::motor, 1}));
  // It comes back to where the walk ended.
  scene.press(Qt::Key_Left);
  QTest::keyClick(QApplication::focusWidget(), Qt::Key_Backtab, Qt::ShiftModifier);
  QCOMPARE(QApplication::focusWidget(), static_cast<QWidget*>(&scene.before));
  scene.press(Qt::Key_Tab);
  QCOMPARE(scene.focus(), (Link{LinkKind::thermistor, 1}));
}

void RunViewTest::enterAndSpaceChoose() {
  const StudyPtr study = full_study(2);
  Scene scene(1280);
  scene.run.setVerdict({study, nullptr, false, false}, units::UnitSystem::metric);
  std::vector<Link> told;
  connect(&scene.run, &RunView::linkChosen, this, [&](const Link& link) { told.push_back(link); });
  scene.run.setChosen({LinkKind::feed});
  QVERIFY(told.empty());
  scene.run.button({LinkKind::rod, 1})->setFocus();
  QCOMPARE(scene.run.chosen(), (Link{LinkKind::feed}));
  scene.press(Qt::Key_Return);
  scene.press(Qt::Key_Left);
  scene.press(Qt::Key_Space);
  QTest::mouseClick(scene.run.button({LinkKind::relay}), Qt::LeftButton);
  // The chosen one again: told again, still chosen.
  QTest::mouseClick(scene.run.button({LinkKind::relay}), Qt::LeftButton);
  const std::vector<Link> expected{
      {LinkKind::rod, 1}, {LinkKind::motor, 1}, {LinkKind::relay}, {LinkKind::relay}};
  QVERIFY(told == expected);
  QCOMPARE(scene.run.chosen(), (Link{LinkKind::relay}));
  for (const LinkButton* button : scene.run.findChildren<LinkButton*>()) {
    QCOMPARE(button->isChecked(), button->link() == scene.run.chosen());
  }
}

void RunViewTest::doorsBeyondSixScroll() {
  const StudyPtr six = full_study(6), twelve = full_study(12);
  Scene scene(1280);
  scene.run.setVerdict({six, nullptr, false, false}, units::UnitSystem::metric);
  const int height = scene.run.sizeHint().height();
  scene.run.setVerdict({twelve, nullptr, false, false}, units::UnitSystem::metric);
  QCOMPARE(scene.run.sizeHint().height(), height);
  QTest::qWait(0);
  const auto* scroll = scene.run.findChild<QScrollArea*>();
  const auto is_seen = [&](std::size_t door) {
    return on_screen(scroll->viewport()).contains(on_screen(scene.run.button({LinkKind::motor, door})));
  };
  for (std::size_t door = 0; door < 12; ++door) QCOMPARE(is_seen(door), door < 6);
  // Walking down brings them into sight.
  scene.run.button({LinkKind::motor, 0})->setFocus();
  for (int k = 0; k < 11; ++k) scene.press(Qt::Key_Down);
  QCOMPARE(scene.focus(), (Link{LinkKind::motor, 11}));
  QVERIFY(is_seen(11));
  scene.run.setChosen({LinkKind::motor, 0});
  QVERIFY(is_seen(0));
}

void RunViewTest::staleStatesStay() {
  const StudyPtr study = full_study(1);
  Scene scene(1280);
  VerdictState verdict =
      verdict_of(study, {row(verdict::CheckId::relay, std::nullopt, "relay", 30, 40, "A")});
  const auto states = states_of(*study, Link{LinkKind::relay}, 0);
  const auto is_marked = [&] {
    for (const QLabel* label : scene.run.findChildren<QLabel*>()) {
      if (label->text() == QStringLiteral("computing…")) return label->isVisible();
    }
    return false;
  };
  scene.run.setVerdict(verdict, units::UnitSystem::metric);
  scene.run.setStates(states);
  const LinkButton* relay = scene.run.button({LinkKind::relay});
  const QString before = relay->shownState();
  QVERIFY(before.startsWith(QStringLiteral("✕ fails")));
  QVERIFY(!relay->face().greyed);
  QVERIFY(!is_marked());
  verdict.current = false;
  scene.run.setVerdict(verdict, units::UnitSystem::metric);
  scene.run.setStates(states);
  QCOMPARE(scene.run.button({LinkKind::relay})->shownState(), before);
  QVERIFY(relay->face().greyed);
  QVERIFY(is_marked());
  // Of an unfinished job nothing is being computed.
  scene.run.setVerdict({open_study(1), nullptr, false, false}, units::UnitSystem::metric);
  QVERIFY(!is_marked());
}

void RunViewTest::newStatesKeepTheFocus() {
  const StudyPtr study = full_study(3);
  Scene scene(1280);
  scene.run.setVerdict({study, nullptr, false, false}, units::UnitSystem::metric);
  scene.run.button({LinkKind::motor, 2})->setFocus();
  LinkButton* at = scene.run.button({LinkKind::motor, 2});
  scene.run.setVerdict({study, nullptr, true, false}, units::UnitSystem::metric);
  QCOMPARE(scene.run.button({LinkKind::motor, 2}), at);
  QCOMPARE(QApplication::focusWidget(), static_cast<QWidget*>(at));
  // One door more: other buttons, the same place.
  scene.run.setVerdict({full_study(4), nullptr, false, false}, units::UnitSystem::metric);
  QCOMPARE(scene.focus(), (Link{LinkKind::motor, 2}));
}

void RunViewTest::unitsOfTheReader() {
  const StudyPtr study = full_study(1);
  Scene scene(1280);
  // 22 mm / 25.4 = 0.866 in, 21 mm = 0.827 in; -20 °C = -4 °F.
  const auto verdict = verdict_of(study, {row(verdict::CheckId::stroke, 0, "", 22, 21, "mm")});
  scene.run.setVerdict(verdict, units::UnitSystem::us);
  scene.run.setStates(states_of(*study, Link{LinkKind::rod, 0}, 0));
  const LinkButton* rod = scene.run.button({LinkKind::rod, 0});
  QCOMPARE(rod->shownState(), QStringLiteral("! tight: have 0.866 in, need 0.827 in"));
  QVERIFY(rod->accessibleDescription().contains(QStringLiteral("(9 V, -4 °F)")) ||
          rod->accessibleDescription().contains(QStringLiteral("(9.00 V, -4.00 °F)")));
  // 20 N / 4.448 N/lbf.
  QCOMPARE(rod->face().part, QStringLiteral("4.50 lbf"));
  const QString feed = scene.run.button({LinkKind::feed})->face().part;
  QVERIFY2(feed.contains(QStringLiteral("AWG")), qPrintable(feed));
  QCOMPARE(feed.count(QStringLiteral("mm²")), 1);
}

void RunViewTest::emptyWithoutAJob() {
  Scene scene(1280);
  scene.run.setVerdict({}, units::UnitSystem::metric);
  QCOMPARE(scene.run.findChildren<LinkButton*>().size(), 0);
  QVERIFY(scene.run.button({LinkKind::battery}) == nullptr);
  scene.run.grab();
}

QTEST_MAIN(RunViewTest)
#include "run_view_test.moc"
