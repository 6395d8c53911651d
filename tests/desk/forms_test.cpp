// SPDX-License-Identifier: GPL-3.0-or-later
#include <QApplication>
#include <QComboBox>
#include <QSignalSpy>
#include <QTest>
#include <QWheelEvent>
#include <cmath>

#include "desk/number_entry.h"
#include "desk/record_form.h"
#include "desk_job.h"
#include "model/job_fields.h"

using namespace latchwright;
using namespace latchwright::desk;
using desk_tests::line_of;
using desk_tests::number_at;
using desk_tests::type_in;
using desk_tests::type_only;
using units::UnitSystem;

class FormsTest : public QObject {
  Q_OBJECT

 private Q_SLOTS:
  void init() {
    document_ = std::make_unique<Document>();
    QVERIFY(document_->begin(desk_tests::small_job()).empty());
  }
  void cleanup() {
    form_.reset();
    document_.reset();
  }

  void typedNumbers_data() {
    QTest::addColumn<QString>("typed");
    QTest::addColumn<QString>("locale");
    QTest::addColumn<double>("value");  // NaN: turned down
    const double none = std::nan("");
    QTest::newRow("point") << "1.5"
                           << "en_US" << 1.5;
    QTest::newRow("point in a comma country") << "1.5"
                                              << "de_DE" << 1.5;
    QTest::newRow("comma in a comma country") << "1,5"
                                              << "de_DE" << 1.5;
    QTest::newRow("comma in a point country is not 15") << "1,5"
                                                        << "en_US" << 1.5;
    QTest::newRow("comma behind zero") << "0,375"
                                       << "en_US" << 0.375;
    QTest::newRow("perhaps thousands") << "1,500"
                                       << "en_US" << none;
    QTest::newRow("comma country with three decimals") << "1,500"
                                                       << "de_DE" << 1.5;
    QTest::newRow("both marks") << "1.234,5"
                                << "de_DE" << none;
    QTest::newRow("two points") << "1.2.3"
                                << "en_US" << none;
    QTest::newRow("with unit") << "2.5 V"
                               << "en_US" << 2.5;
    QTest::newRow("another unit") << "2.5 m"
                                  << "en_US" << none;
    QTest::newRow("minus of typesetting") << QString(QChar(0x2212)) + "20"
                                          << "en_US" << -20.0;
    QTest::newRow("exponent") << "1e-3"
                              << "en_US" << 1e-3;
    QTest::newRow("infinite") << "inf"
                              << "en_US" << none;
    QTest::newRow("blank between digits") << "1 500"
                                          << "en_US" << none;
    QTest::newRow("words") << "about 3"
                           << "en_US" << none;
  }
  void typedNumbers() {
    QFETCH(QString, typed);
    QFETCH(QString, locale);
    QFETCH(double, value);
    const TypedNumber read = read_typed(typed, QStringLiteral("V"), QLocale(locale));
    QCOMPARE(read.value.has_value(), !std::isnan(value));
    QCOMPARE(read.why.isEmpty(), read.value.has_value());
    if (read.value) QCOMPARE(*read.value, value);
  }

  void goodNumberIsTaken() {
    FieldEditor* editor = open(model::pulse_table().info(), "/pulse", "/pulse/on_s");
    type_in(editor, "0.38");
    QCOMPARE(number_at(*document_, "/pulse/on_s"), 0.38);
    QCOMPARE(document_->undoStack().undoText(), QStringLiteral("pulse"));
    document_->undoStack().undo();
    QCOMPARE(line_of(editor)->text(), QStringLiteral("0.5"));
  }

  void undoStepsSayWhere() {
    type_in(open(model::feed_table().info(), "/feed", "/feed/length_m"), "3");
    QCOMPARE(document_->undoStack().undoText(), QStringLiteral("feed: length"));
    form_.reset();
    type_in(open(model::door_table().info(), "/doors/1", "/doors/1/branch_length_m"), "3");
    QCOMPARE(document_->undoStack().undoText(), QStringLiteral("tailgate: length, one way"));
  }

  void outOfRangeStaysMarked() {
    FieldEditor* editor = open(model::pulse_table().info(), "/pulse", "/pulse/on_s");
    const std::string before = document_->text();
    type_in(editor, "12");
    QCOMPARE(document_->text(), before);
    QCOMPARE(line_of(editor)->text(), QStringLiteral("12"));
    const auto& field = model::pulse_table().info().fields.front();
    const QString range = QString::fromStdString(model::range_text(field));
    QVERIFY(editor->fault().contains(range));
    auto* beneath = editor->findChild<QLabel*>(QStringLiteral("beneath"));
    QVERIFY(beneath->isVisible());
    QCOMPARE(beneath->text(), editor->fault());
    QVERIFY(line_of(editor)->accessibleDescription().contains(range));
    QCOMPARE(document_->undoStack().count(), 0);

    QTest::keyClick(line_of(editor), Qt::Key_Escape);
    QCOMPARE(line_of(editor)->text(), QStringLiteral("0.5"));
    QVERIFY(editor->fault().isEmpty());
    QVERIFY(!beneath->isVisible());
    QVERIFY(document_->refused().empty());
    QCOMPARE(document_->text(), before);
  }

  void noNumberStaysMarked() {
    FieldEditor* editor = open(model::pulse_table().info(), "/pulse", "/pulse/on_s");
    const std::string before = document_->text();
    type_in(editor, "half");
    QCOMPARE(document_->text(), before);
    QCOMPARE(line_of(editor)->text(), QStringLiteral("half"));
    QVERIFY(editor->fault().contains(QStringLiteral("0.02 to 10 s")));
    // It is still there in a form that is opened later.
    const RecordForm later(*document_, model::pulse_table().info(), "/pulse", {}, UnitSystem::metric,
                           nullptr);
    QCOMPARE(line_of(later.editorAt("/pulse/on_s"))->text(), QStringLiteral("half"));
    type_in(editor, "0.4");
    QVERIFY(editor->fault().isEmpty());
    QCOMPARE(number_at(*document_, "/pulse/on_s"), 0.4);
  }

  void commaIsSaidBack() {
    FieldEditor* editor = open(model::pulse_table().info(), "/pulse", "/pulse/on_s");
    type_in(editor, "1,5");
    QCOMPARE(number_at(*document_, "/pulse/on_s"), 1.5);
    QCOMPARE(line_of(editor)->text(), QStringLiteral("1.5"));
    const auto* beneath = editor->findChild<QLabel*>(QStringLiteral("beneath"));
    QVERIFY(beneath->isVisible());
    QVERIFY(beneath->text().contains(QStringLiteral("1.5 s")));
  }

  void emptyMeansDefault() {
    FieldEditor* editor = open(model::supply_table().info(), "/supply", "/supply/jump_V");
    QVERIFY(line_of(editor)->text().isEmpty());
    QVERIFY(!line_of(editor)->placeholderText().isEmpty());
    type_in(editor, "26");
    QCOMPARE(number_at(*document_, "/supply/jump_V"), 26.0);
    type_in(editor, "");
    QVERIFY(model::value_at(document_->tree(), "/supply/jump_V") == nullptr);
    QVERIFY(editor->fault().isEmpty());
    form_.reset();
    FieldEditor* resistance = open(model::supply_table().info(), "/supply", "/supply/internal_mohm");
    QVERIFY(line_of(resistance)->placeholderText().contains(QStringLiteral("15")));
    // What must be there may not be empty.
    form_.reset();
    FieldEditor* length = open(model::feed_table().info(), "/feed", "/feed/length_m");
    type_in(length, "");
    QVERIFY(!length->fault().isEmpty());
    QCOMPARE(number_at(*document_, "/feed/length_m"), 2.4);
  }

  void orderingIsRefusedAndCured() {
    open(model::supply_table().info(), "/supply", "/supply/low_V");
    FieldEditor* low = form_->editorAt("/supply/low_V");
    FieldEditor* usual = form_->editorAt("/supply/usual_V");
    type_in(low, "13");
    QCOMPARE(number_at(*document_, "/supply/low_V"), 9.0);
    QCOMPARE(line_of(low)->text(), QStringLiteral("13"));
    QVERIFY(low->fault().contains(QStringLiteral("must not be below")));
    QVERIFY2(low->fault().contains(usual->label()), qPrintable(low->fault()));
    QVERIFY2(!low->fault().contains(QLatin1Char('/')), qPrintable(low->fault()));
    // Lawful only together.
    type_in(usual, "13.5");
    QCOMPARE(number_at(*document_, "/supply/low_V"), 13.0);
    QCOMPARE(number_at(*document_, "/supply/usual_V"), 13.5);
    QVERIFY(low->fault().isEmpty());
    QVERIFY(document_->refused().empty());
  }

  void usUnitsGoThereAndBack() {
    // 1 in = 25.4 mm and 1 ft = 0.3048 m by definition; 1 lbf = 4.4482216152605 N (NIST SP 811, from memory).
    open(model::door_table().info(), "/doors/0", "/doors/0/rod_force/peak_N");
    form_->setUnits(UnitSystem::us);
    FieldEditor* stroke = form_->editorAt("/doors/0/stroke_mm");
    QCOMPARE(line_of(stroke)->text(), QStringLiteral("0.709"));  // 18 mm
    QTest::keyClick(line_of(stroke), Qt::Key_Return);
    type_in(stroke, "0.709");
    QCOMPARE(number_at(*document_, "/doors/0/stroke_mm"), 18.0);
    QCOMPARE(document_->undoStack().count(), 0);
    type_in(stroke, "0.75");
    QCOMPARE(number_at(*document_, "/doors/0/stroke_mm"), 19.05);
    QCOMPARE(line_of(stroke)->text(), QStringLiteral("0.75"));
    FieldEditor* peak = form_->editorAt("/doors/0/rod_force/peak_N");
    type_in(peak, "5 lbf");
    QVERIFY(std::fabs(number_at(*document_, "/doors/0/rod_force/peak_N") - 22.2411080763) < 1e-9);
    FieldEditor* length = form_->editorAt("/doors/0/branch_length_m");
    type_in(length, "6.5625");
    QCOMPARE(number_at(*document_, "/doors/0/branch_length_m"), 2.00025);
    QCOMPARE(line_of(length)->text(), QStringLiteral("6.5625"));
    // 4 in = 101.6 mm: over the 100 mm that are permitted; the range is told in inches.
    type_in(stroke, "4");
    QVERIFY2(stroke->fault().contains(QStringLiteral("3.937 in")), qPrintable(stroke->fault()));
    form_.reset();
    open(model::climate_table().info(), "/climate", "/climate/hot_C");
    form_->setUnits(UnitSystem::us);
    type_in(form_->editorAt("/climate/hot_C"), "176");
    QCOMPARE(number_at(*document_, "/climate/hot_C"), 80.0);
  }

  void enterWithoutTypingChangesNothing() {
    const std::string before = document_->text();
    const std::vector<std::pair<const model::RecordInfo*, std::string>> records{
        {&model::supply_table().info(), "/supply"}, {&model::climate_table().info(), "/climate"},
        {&model::feed_table().info(), "/feed"},     {&model::door_table().info(), "/doors/1"},
        {&model::limits_table().info(), "/limits"}, {&model::spread_table().info(), "/spread"}};
    for (const auto& [record, prefix] : records) {
      for (const UnitSystem system : {UnitSystem::us, UnitSystem::metric}) {
        RecordForm form(*document_, *record, prefix, {}, system, nullptr);
        for (FieldEditor* editor : form.editors()) {
          if (QLineEdit* line = line_of(editor)) QTest::keyClick(line, Qt::Key_Return);
        }
        form.commitPending();
      }
    }
    QCOMPARE(document_->text(), before);
    QCOMPARE(document_->undoStack().count(), 0);
  }

  void halfTypedTextStays() {
    open(model::supply_table().info(), "/supply", "/supply/low_V");
    FieldEditor* low = form_->editorAt("/supply/low_V");
    type_only(low, "8.");
    document_->edit({{"/supply/high_V", model::Raw(15.5)}}, "elsewhere");
    document_->edit({{"/supply/low_V", model::Raw(9.5)}}, "elsewhere");
    QCOMPARE(line_of(low)->text(), QStringLiteral("8."));
    QVERIFY(line_of(low)->hasFocus());
    QCOMPARE(line_of(form_->editorAt("/supply/high_V"))->text(), QStringLiteral("15.5"));
    QTest::keyClick(line_of(low), Qt::Key_Escape);
    QCOMPARE(line_of(low)->text(), QStringLiteral("9.5"));
  }

  void leavingTakes() {
    open(model::supply_table().info(), "/supply", "/supply/low_V");
    FieldEditor* low = form_->editorAt("/supply/low_V");
    type_only(low, "8.5");
    QCOMPARE(number_at(*document_, "/supply/low_V"), 9.0);
    form_->editorAt("/supply/high_V")->setFocus();
    QCOMPARE(number_at(*document_, "/supply/low_V"), 8.5);
  }

  void arrowsStep() {
    FieldEditor* editor = open(model::pulse_table().info(), "/pulse", "/pulse/on_s");
    QTest::keyClick(line_of(editor), Qt::Key_Up);
    const double up = number_at(*document_, "/pulse/on_s");
    QVERIFY(up > 0.5 && up <= 0.55);
    QTest::keyClick(line_of(editor), Qt::Key_Down);
    QCOMPARE(number_at(*document_, "/pulse/on_s"), 0.5);
    // Never past the range, over any number of steps, and the shape of a step is 1, 2 or 5.
    const auto& field = model::pulse_table().info().fields.front();
    const units::ShownUnit unit = units::shown_unit(field.unit, UnitSystem::metric);
    double value = field.low;
    int steps = 0;
    while (value < field.high && steps < 1000) {
      const double next = stepped(value, true, field, unit);
      QVERIFY(next > value && next <= field.high);
      value = next;
      ++steps;
    }
    QCOMPARE(value, field.high);
    QVERIFY(steps < 200);
    QCOMPARE(stepped(value, true, field, unit), field.high);
    const auto& cycles = model::use_table().info().fields.front();
    QCOMPARE(stepped(10, true, cycles, units::shown_unit("cycles", UnitSystem::metric)), 11.0);
  }

  void wheelChangesNothing() {
    FieldEditor* editor = open(model::pulse_table().info(), "/pulse", "/pulse/on_s");
    const std::string before = document_->text();
    QWheelEvent wheel({5, 5}, editor->mapToGlobal(QPoint(5, 5)), {}, {0, 120}, Qt::NoButton, Qt::NoModifier,
                      Qt::NoScrollPhase, false);
    QApplication::sendEvent(line_of(editor), &wheel);
    form_.reset();
    FieldEditor* wire = open(model::feed_table().info(), "/feed", "/feed/wire");
    QApplication::sendEvent(wire->findChild<QComboBox*>(), &wheel);
    QCOMPARE(document_->text(), before);
  }

  void helpFollowsTheFocus() {
    FieldEditor* editor = open(model::feed_table().info(), "/feed", "/feed/ground_mohm");
    QSignalSpy help(form_.get(), &RecordForm::helpRequested);
    form_->editorAt("/feed/length_m")->setFocus();
    editor->setFocus();
    QVERIFY(!help.isEmpty());
    QVERIFY(help.last()[0].toString().contains(QStringLiteral("0 to 1000 mΩ")));
  }

 private:
  /// A form in a window that has the focus; its editor at the pointer.
  FieldEditor* open(const model::RecordInfo& record, const std::string& prefix, const std::string& pointer) {
    form_ = std::make_unique<RecordForm>(*document_, record, prefix, std::vector<std::string>{},
                                         UnitSystem::metric, nullptr);
    form_->show();
    form_->activateWindow();
    if (!QTest::qWaitForWindowActive(form_.get())) return nullptr;
    return form_->editorAt(pointer);
  }

  std::unique_ptr<Document> document_;
  std::unique_ptr<RecordForm> form_;
};

QTEST_MAIN(FormsTest)
#include "forms_test.moc"
