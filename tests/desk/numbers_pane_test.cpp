// SPDX-License-Identifier: GPL-3.0-or-later
#include <QApplication>
#include <QClipboard>
#include <QLabel>
#include <QPushButton>
#include <QScrollArea>
#include <QScrollBar>
#include <QSignalSpy>
#include <QTableWidget>
#include <QTest>
#include <QToolButton>
#include <set>

#include "desk/numbers_pane.h"
#include "desk/record_form.h"
#include "desk_job.h"
#include "model/job_fields.h"

using namespace latchwright;
using namespace latchwright::desk;
using desk_tests::line_of;
using desk_tests::number_at;
using desk_tests::type_in;
using desk_tests::type_only;
using report::Link;
using report::LinkKind;
using units::UnitSystem;
using verdict::CheckId;
using verdict::Verdict;

Q_DECLARE_METATYPE(latchwright::verdict::Change)
Q_DECLARE_METATYPE(latchwright::verdict::At)

namespace {

const Link run_of_tailgate{LinkKind::door_run, 1};

/// A verdict of invented figures: the door run of the tailgate fails one check and holds another.
VerdictState some_verdict(const Document& document) {
  auto examined = std::make_shared<verdict::Examination>();
  verdict::CheckRow holds;
  holds.id = CheckId::wire_heat;
  holds.door = 1;
  holds.have = 90;
  holds.need = 45;
  holds.unit = "K";
  holds.at = verdict::At{15, 60};
  holds.why = "the wire gets 45 K warmer.";
  verdict::judge(holds);
  verdict::CheckRow fails = holds;
  fails.id = CheckId::fuse_guard;
  fails.have = 8;
  fails.need = 10;
  fails.unit = "s";
  fails.at = verdict::At{12.6, 60};
  fails.why = "the fuse opens after the wire has burnt.";
  verdict::judge(fails);
  verdict::Change fuse{"/doors/1/fuse", std::monostate{}, std::string("fuse-medium-7.5"),
                       "a fuse of its own"};
  verdict::Change words{"", std::monostate{}, std::monostate{}, "look for a shorter way"};
  fails.cures = {{fuse, {}, {CheckId::volt_drop}}, {words, {}, {}}};
  fails.change = fuse;
  verdict::CheckRow relay;
  relay.id = CheckId::relay;
  relay.part = "relay";
  relay.have = 40;
  relay.need = 20;
  relay.unit = "A";
  verdict::judge(relay);
  examined->worst = {holds, fails, relay};
  examined->all = examined->worst;
  examined->weakest = 1;
  return {document.study(), examined, true, true};
}

std::set<std::string> pointers_in(const QWidget& pane) {
  std::set<std::string> found;
  for (const auto* form : pane.findChildren<RecordForm*>()) {
    if (form->isHidden()) continue;
    for (const auto* editor : form->editors()) found.insert(editor->pointer());
  }
  return found;
}

FieldEditor* editor_at(const QWidget& pane, const char* pointer) {
  for (const auto* form : pane.findChildren<RecordForm*>()) {
    if (!form->isVisible()) continue;
    if (FieldEditor* editor = form->editorAt(pointer)) return editor;
  }
  return nullptr;
}

QTableWidget* rows_of(const QWidget& pane) {
  return pane.findChild<QTableWidget*>(QStringLiteral("link_rows"));
}

QPushButton* apply_button(const QWidget& pane) {
  for (QPushButton* button : pane.findChildren<QPushButton*>()) {
    if (button->isVisible() && button->accessibleName().startsWith(QLatin1String("apply"))) return button;
  }
  return nullptr;
}

/// Every key that the table has below this place, as pointers.
void add_pointers(const model::RecordInfo& record, const std::string& prefix, std::set<std::string>& wanted) {
  for (const auto& field : record.fields) {
    if (field.kind == model::FieldKind::record) {
      if (field.child->name != "rod_force") add_pointers(*field.child, prefix + "/" + field.key, wanted);
    } else if (field.kind != model::FieldKind::record_list && field.kind != model::FieldKind::parts) {
      wanted.insert(prefix + "/" + field.key);
    }
  }
}

}  // namespace

class NumbersPaneTest : public QObject {
  Q_OBJECT

 private Q_SLOTS:
  void init() {
    document_ = std::make_unique<Document>();
    QVERIFY(document_->begin(desk_tests::small_job()).empty());
    pane_ = std::make_unique<NumbersPane>(*document_);
    pane_->resize(460, 700);
    pane_->show();
    pane_->activateWindow();
    QVERIFY(QTest::qWaitForWindowActive(pane_.get()));
  }
  void cleanup() {
    pane_.reset();
    document_.reset();
  }

  void everyKeyOfTheJobIsSomewhere() {
    std::set<std::string> wanted;
    add_pointers(model::job_table().info(), "", wanted);
    for (const char* door : {"/doors/0", "/doors/1"}) add_pointers(model::door_table().info(), door, wanted);
    for (const char* rod :
         {"/doors/0/rod_force/shape", "/doors/0/rod_force/peak_N", "/doors/0/rod_force/cold_factor",
          "/doors/1/rod_force/x_mm", "/doors/1/rod_force_unlock/friction_N"}) {
      wanted.insert(rod);
    }
    for (const Link& link : report::links_of(*document_->study())) {
      pane_->setLink(link);
      for (const auto& pointer : pointers_in(*pane_)) wanted.erase(pointer);
    }
    QVERIFY(wanted.count("/title") == 1);
    pane_->findChild<QToolButton*>(QStringLiteral("job_section"))->click();
    for (const auto& pointer : pointers_in(*pane_)) wanted.erase(pointer);
    QVERIFY2(wanted.empty(), wanted.empty() ? "" : wanted.begin()->c_str());
  }

  void linksHaveTheirNumbers_data() {
    QTest::addColumn<int>("kind");
    QTest::addColumn<QStringList>("pointers");
    const auto row = [](LinkKind kind, const char* name, const QStringList& pointers) {
      QTest::newRow(name) << static_cast<int>(kind) << pointers;
    };
    row(LinkKind::battery, "battery", {"/supply/low_V", "/climate/cold_C"});
    row(LinkKind::main_fuse, "main fuse",
        {"/feed/fuse", "/feed/hot_C", "/feed/other_load_A", "/limits/clear_s", "/limits/fuse_loading"});
    row(LinkKind::feed, "feed",
        {"/feed/length_m", "/feed/wire", "/feed/ground_mohm", "/feed/bundle_factor",
         "/limits/volt_drop_percent"});
    row(LinkKind::relay, "relay",
        {"/feed/relay", "/pulse/on_s", "/use/cycles", "/use/hot_cycles", "/use/gap_s"});
    row(LinkKind::door_run, "door run",
        {"/doors/1/name", "/doors/1/wire", "/doors/1/fuse", "/doors/1/branch_length_m",
         "/doors/1/joints_mohm"});
    row(LinkKind::thermistor, "thermistor",
        {"/doors/1/name", "/doors/1/actuator", "/use/cycles", "/use/gap_s"});
    row(LinkKind::motor, "motor", {"/doors/1/name", "/doors/1/actuator"});
    row(LinkKind::rod, "rod",
        {"/doors/1/stroke_mm", "/doors/1/rod_force/x_mm", "/doors/1/rod_force_unlock/peak_N",
         "/limits/force_factor", "/limits/force_factor_low", "/limits/stroke_slack_mm"});
  }
  void linksHaveTheirNumbers() {
    QFETCH(int, kind);
    QFETCH(QStringList, pointers);
    pane_->setLink({static_cast<LinkKind>(kind), 1});
    const auto found = pointers_in(*pane_);
    for (const QString& pointer : pointers)
      QVERIFY2(found.count(pointer.toStdString()) == 1, qPrintable(pointer));
  }

  void verdictRowsTellHaveAndNeed() {
    pane_->setVerdict(some_verdict(*document_));
    pane_->setLink(run_of_tailgate);
    QTableWidget* rows = rows_of(*pane_);
    QCOMPARE(rows->rowCount(), 2);
    // The worst comes first.
    QCOMPARE(rows->item(0, 0)->text(), QStringLiteral("fuse protects the wire"));
    QCOMPARE(rows->item(0, 1)->text(), QStringLiteral("12.6 V, 60 °C"));
    QCOMPARE(rows->item(0, 2)->text(), QStringLiteral("8.00 s"));
    QCOMPARE(rows->item(0, 3)->text(), QStringLiteral("10.0 s"));
    QCOMPARE(rows->item(0, 4)->text(), QStringLiteral("0.800"));
    QVERIFY(rows->item(0, 5)->text().contains(QStringLiteral("fails")));
    QVERIFY(rows->item(1, 5)->text().contains(QStringLiteral("holds")));
    QVERIFY(rows->item(0, 0)->toolTip().contains(QStringLiteral("after the wire has burnt")));
    auto* why = pane_->findChild<QLabel*>(QStringLiteral("why"));
    QVERIFY(why->isVisible() && why->text().contains(QStringLiteral("after the wire has burnt")));
    rows->setCurrentCell(1, 0);
    QVERIFY(why->text().contains(QStringLiteral("45 K warmer")));
    // 60 °C = 140 °F; a difference stays in K, lest it be read as a temperature.
    pane_->setUnits(UnitSystem::us);
    QCOMPARE(rows->item(0, 1)->text(), QStringLiteral("12.6 V, 140 °F"));
    QCOMPARE(rows->item(1, 2)->text(), QStringLiteral("90.0 K"));
  }

  void curesAreApplied() {
    pane_->setVerdict(some_verdict(*document_));
    pane_->setLink(run_of_tailgate);
    QSignalSpy applied(pane_.get(), &NumbersPane::applyRequested);
    QPushButton* apply = apply_button(*pane_);
    QVERIFY(apply != nullptr);
    QVERIFY(apply->accessibleName().contains(QStringLiteral("a fuse of its own")));
    QTest::mouseClick(apply, Qt::LeftButton);
    QCOMPARE(applied.count(), 1);
    QCOMPARE(applied[0][0].value<verdict::Change>().pointer, std::string("/doors/1/fuse"));
    // What it breaks is said beside it; what has no setting has no button.
    QStringList texts;
    int buttons = 0;
    for (const auto* label : pane_->findChildren<QLabel*>()) texts.append(label->text());
    for (const auto* button : pane_->findChildren<QPushButton*>()) {
      buttons += button->isVisible() && button->text() == QStringLiteral("apply");
    }
    const QString all = texts.join(QLatin1Char('\n'));
    QVERIFY(all.contains(QStringLiteral("Then fails: voltage lost in the wires")));
    QVERIFY(all.contains(QStringLiteral("look for a shorter way")));
    QCOMPARE(buttons, 1);
  }

  void lookGoesToTheWorstCondition() {
    pane_->setVerdict(some_verdict(*document_));
    pane_->setLink(run_of_tailgate);
    QSignalSpy looked(pane_.get(), &NumbersPane::lookRequested);
    rows_of(*pane_)->setCurrentCell(1, 0);
    QTest::mouseClick(pane_->findChild<QPushButton*>(QStringLiteral("look")), Qt::LeftButton);
    QCOMPARE(looked.count(), 1);
    const auto at = looked[0][0].value<verdict::At>();
    QCOMPARE(at.voltage_V, 12.6);
    QCOMPARE(at.ambient_C, 60.0);
  }

  void oldVerdictStaysMarked() {
    VerdictState verdict = some_verdict(*document_);
    verdict.current = false;
    pane_->setVerdict(verdict);
    pane_->setLink(run_of_tailgate);
    QCOMPARE(rows_of(*pane_)->rowCount(), 2);
    QVERIFY(!rows_of(*pane_)->isEnabled());
    QVERIFY(!apply_button(*pane_)->isEnabled());
    const auto* state = pane_->findChild<QLabel*>(QStringLiteral("link_state"));
    QVERIFY(state->text().contains(QStringLiteral("before the last change")));
  }

  void oldVerdictOfFewerDoors() {
    // The verdict knows two doors, the job has three by now.
    pane_->setVerdict(some_verdict(*document_));
    pane_->setLink(run_of_tailgate);
    QTest::mouseClick(pane_->findChild<QPushButton*>(QStringLiteral("copy_door")), Qt::LeftButton);
    pane_->setLink({LinkKind::motor, 2});
    QVERIFY(editor_at(*pane_, "/doors/2/name") != nullptr);
    QVERIFY(!rows_of(*pane_)->isVisible());
  }

  void tableIsCopied() {
    pane_->setVerdict(some_verdict(*document_));
    pane_->setLink(run_of_tailgate);
    QTableWidget* rows = rows_of(*pane_);
    rows->setFocus();
    QTest::keyClick(rows, Qt::Key_C, Qt::ControlModifier);
    const QStringList lines =
        QGuiApplication::clipboard()->text().split(QLatin1Char('\n'), Qt::SkipEmptyParts);
    QCOMPARE(lines.size(), 3);
    QCOMPARE(lines[0], QStringLiteral("check\tcondition\thave\tneed\tmargin\tverdict"));
    QCOMPARE(lines[1].split(QLatin1Char('\t')).size(), 6);
    QVERIFY(lines[1].startsWith(
        QStringLiteral("fuse protects the wire\t12.6 V, 60 °C\t8.00 s\t10.0 s\t0.800\t")));
    // The same from the context menu.
    QCOMPARE(rows->contextMenuPolicy(), Qt::ActionsContextMenu);
    QCOMPARE(rows->actions().size(), 1);
    QGuiApplication::clipboard()->clear();
    rows->actions().front()->trigger();
    QVERIFY(QGuiApplication::clipboard()->text().startsWith(lines[0]));
  }

  void doorsAreAddedAndRemoved() {
    pane_->setLink(run_of_tailgate);
    auto* copy = pane_->findChild<QPushButton*>(QStringLiteral("copy_door"));
    QTest::mouseClick(copy, Qt::LeftButton);
    QCOMPARE(document_->study()->doors.size(), std::size_t{3});
    QCOMPARE(desk_tests::text_at(*document_, "/doors/2/name"), std::string("tailgate 2"));
    QCOMPARE(number_at(*document_, "/doors/2/branch_length_m"), 5.5);
    QCOMPARE(document_->undoStack().count(), 1);
    QVERIFY(document_->undoStack().undoText().contains(QStringLiteral("tailgate 2")));
    for (int k = 0; k < 20 && copy->isEnabled(); ++k) QTest::mouseClick(copy, Qt::LeftButton);
    QCOMPARE(document_->study()->doors.size(), model::most_doors);
    QVERIFY(copy->toolTip().contains(QStringLiteral("12")));
    while (document_->undoStack().canUndo()) document_->undoStack().undo();
    QCOMPARE(document_->study()->doors.size(), std::size_t{2});
    QVERIFY(copy->isEnabled());

    QTest::mouseClick(pane_->findChild<QPushButton*>(QStringLiteral("remove_door")), Qt::LeftButton);
    QCOMPARE(document_->study()->doors.size(), std::size_t{1});
    // The last door stands in for the one that is gone, and cannot go too.
    QVERIFY(editor_at(*pane_, "/doors/0/name") != nullptr);
    QVERIFY(!pane_->findChild<QPushButton*>(QStringLiteral("remove_door"))->isEnabled());
    document_->undoStack().undo();
    QCOMPARE(desk_tests::text_at(*document_, "/doors/1/name"), std::string("tailgate"));
  }

  void doorIsRenamed() {
    pane_->setLink({LinkKind::rod, 1});
    type_in(editor_at(*pane_, "/doors/1/name"), "hatch");
    QCOMPARE(document_->study()->job.doors[1].name, std::string("hatch"));
  }

  void leavingALinkTakesWhatIsTyped() {
    pane_->setLink(run_of_tailgate);
    type_only(editor_at(*pane_, "/doors/1/branch_length_m"), "4.5");
    pane_->setLink({LinkKind::feed, 0});
    QCOMPARE(number_at(*document_, "/doors/1/branch_length_m"), 4.5);
  }

  void refusedNumberIsThereAgain() {
    pane_->setLink(run_of_tailgate);
    type_in(editor_at(*pane_, "/doors/1/branch_length_m"), "99");
    pane_->setLink({LinkKind::feed, 0});
    pane_->setLink(run_of_tailgate);
    FieldEditor* editor = editor_at(*pane_, "/doors/1/branch_length_m");
    QCOMPARE(line_of(editor)->text(), QStringLiteral("99"));
    QVERIFY(editor->fault().contains(QStringLiteral("0 to 30 m")));
    QCOMPARE(number_at(*document_, "/doors/1/branch_length_m"), 5.5);
  }

  void partFiguresTellTheirOrigin() {
    pane_->setLink({LinkKind::thermistor, 0});
    QString all;
    for (const auto* label : pane_->findChildren<QLabel*>()) {
      if (label->isVisible()) all += label->text() + QLatin1Char('\n');
    }
    QVERIFY(all.contains(QStringLiteral("act-ordinary-2w")));
    QVERIFY(all.contains(QStringLiteral("Invented example: measure yours before promising this.")));
    QVERIFY(all.contains(QStringLiteral("curve-polymer-30v")));
    bool seen = false;
    for (const auto* table : pane_->findChildren<QTableWidget*>()) {
      for (int row = 0; table->isVisible() && row < table->rowCount(); ++row) {
        if (table->item(row, 0)->text() != QStringLiteral("thermistor: resistance")) continue;
        seen = true;
        QCOMPARE(table->item(row, 1)->text(), QStringLiteral("0.09"));  // parts/actuators.json
        QCOMPARE(table->item(row, 3)->text(), QStringLiteral("invented"));
        QVERIFY(table->item(row, 0)->toolTip().contains(QStringLiteral("resistance as new at 25 °C")));
      }
    }
    QVERIFY(seen);
  }

  void unfinishedJobSaysNotChosen() {
    QVERIFY(document_->edit({{"/doors/1/actuator", model::Raw()}}, "actuator").empty());
    pane_->setVerdict({document_->study(), nullptr, true, false});
    pane_->setLink({LinkKind::motor, 1});
    const auto* state = pane_->findChild<QLabel*>(QStringLiteral("link_state"));
    QVERIFY2(state->text().contains(QStringLiteral("not chosen")), qPrintable(state->text()));
    QVERIFY(!rows_of(*pane_)->isVisible());
  }

  void browseIsPassedOn() {
    pane_->setLink({LinkKind::relay, 0});
    QSignalSpy browse(pane_.get(), &NumbersPane::browseRequested);
    for (auto* button : editor_at(*pane_, "/feed/relay")->findChildren<QPushButton*>()) button->click();
    QCOMPARE(browse.count(), 1);
    QCOMPARE(browse[0][0].toString(), QStringLiteral("relay"));
    QCOMPARE(browse[0][1].toString(), QStringLiteral("/feed/relay"));
  }

  void neverScrollsSideways() {
    pane_->setVerdict(some_verdict(*document_));
    pane_->findChild<QToolButton*>(QStringLiteral("job_section"))->click();
    const auto* area = pane_->findChild<QScrollArea*>();
    for (const int width : {420, 460, 560}) {
      pane_->resize(width, 700);
      for (const UnitSystem units : {UnitSystem::metric, UnitSystem::us}) {
        pane_->setUnits(units);
        for (const Link& link : report::links_of(*document_->study())) {
          pane_->setLink(link);
          QCoreApplication::processEvents();
          QVERIFY2(area->widget()->width() <= area->viewport()->width(), qPrintable(QString::number(width)));
          QCOMPARE(area->horizontalScrollBar()->maximum(), 0);
        }
      }
    }
  }

  void tabGoesDownThePane() {
    pane_->setVerdict(some_verdict(*document_));
    pane_->findChild<QToolButton*>(QStringLiteral("job_section"))->click();
    pane_->setLink(run_of_tailgate);
    pane_->setLink({LinkKind::rod, 0});
    // A change of shape makes new fields in the middle.
    QVERIFY(document_
                ->edit({{"/doors/0/rod_force/shape", model::Raw("over_centre")},
                        {"/doors/0/rod_force/friction_N", model::Raw(8.0)}},
                       "shape")
                .empty());
    QCoreApplication::processEvents();
    const QWidget* content = pane_->findChild<QScrollArea*>()->widget();
    editor_at(*pane_, "/doors/0/name")->setFocus();
    std::set<std::string> passed;
    int last = -1;
    for (int k = 0; k < 80; ++k) {
      QWidget* at = QApplication::focusWidget();
      const int top = at->mapTo(content, QPoint(0, 0)).y();
      // Beside each other is not upwards; after the last comes the first.
      if (top + at->height() < last) break;
      last = top;
      for (const QWidget* each = at; each != content; each = each->parentWidget()) {
        if (const auto* editor = qobject_cast<const FieldEditor*>(each)) passed.insert(editor->pointer());
      }
      QTest::keyClick(at, Qt::Key_Tab);
    }
    for (const char* pointer : {"/doors/0/stroke_mm", "/doors/0/rod_force/friction_N", "/limits/force_factor",
                                "/title", "/notes", "/spread/length"}) {
      QVERIFY2(passed.count(pointer) == 1, pointer);
    }
  }

  void helpLineTellsTheFocusedField() {
    pane_->setLink({LinkKind::feed, 0});
    editor_at(*pane_, "/feed/length_m")->setFocus();
    const auto* help = pane_->findChild<QLabel*>(QStringLiteral("help"));
    QVERIFY(help->text().contains(QStringLiteral("length of the feed, one conductor")));
    QVERIFY(help->text().contains(QStringLiteral("0 to 30 m")));
  }

  void worksWithoutAJob() {
    Document empty;
    NumbersPane pane(empty);
    pane.setLink({LinkKind::rod, 3});
    pane.setVerdict({});
    pane.show();
    QVERIFY(pointers_in(pane).empty());
    QVERIFY(empty.begin(desk_tests::small_job()).empty());
    QVERIFY(!pointers_in(pane).empty());
  }

 private:
  std::unique_ptr<Document> document_;
  std::unique_ptr<NumbersPane> pane_;
};

QTEST_MAIN(NumbersPaneTest)
#include "numbers_pane_test.moc"
