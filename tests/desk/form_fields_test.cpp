// SPDX-License-Identifier: GPL-3.0-or-later
#include <QComboBox>
#include <QPushButton>
#include <QSignalSpy>
#include <QTableWidget>
#include <QTest>

#include "desk/field_words.h"
#include "desk/own_parts.h"
#include "desk/record_form.h"
#include "desk_job.h"
#include "model/job_fields.h"
#include "model/part_fields.h"

using namespace latchwright;
using namespace latchwright::desk;
using desk_tests::number_at;
using desk_tests::type_in;
using model::FieldKind;
using units::UnitSystem;

namespace {

bool is_number(const model::FieldInfo& field) {
  return field.kind == FieldKind::number || field.kind == FieldKind::whole;
}

bool is_list(const model::FieldInfo& field) {
  return field.kind == FieldKind::number_list || field.kind == FieldKind::gate_list;
}

/// What an editor must tell of its field by the table.
void expect_told(const FieldEditor* editor, const model::FieldInfo& field, const std::string& pointer) {
  QVERIFY2(editor != nullptr, pointer.c_str());
  const QString meaning = QString::fromStdString(field.meaning);
  QVERIFY2(editor->help().contains(meaning), pointer.c_str());
  QVERIFY2(editor->help().contains(QString::fromStdString(field.key)), pointer.c_str());
  if (is_number(field) || is_list(field)) {
    QVERIFY2(editor->help().contains(QString::fromStdString(model::range_text(field))), pointer.c_str());
  }
  QVERIFY2(!editor->label().isEmpty() && !editor->label().contains(QLatin1Char('_')), pointer.c_str());
  const QWidget* main = editor->focusProxy();
  QVERIFY2(main != nullptr, pointer.c_str());
  QVERIFY2(main->toolTip().contains(meaning), pointer.c_str());
  QVERIFY2(!main->accessibleName().isEmpty(), pointer.c_str());
  QVERIFY2(main->accessibleDescription().contains(meaning), pointer.c_str());
}

/// Every row of a table has its editor in the form, records inside included.
void expect_complete(const RecordForm& form, const model::RecordInfo& record, const std::string& prefix,
                     const Document& document) {
  const FieldEditor* lists = nullptr;
  for (const auto& field : record.fields) {
    const std::string pointer = model::pointer_to(prefix, field.key);
    const model::Raw* value = model::value_at(document.tree(), pointer);
    if (field.kind == FieldKind::record_list || field.kind == FieldKind::parts || field.key == "kind")
      continue;
    if (field.kind == FieldKind::record) {
      if (value != nullptr) expect_complete(form, *field.child, pointer, document);
      continue;
    }
    // Of a rod force only what its shape has.
    if (record.name == "rod_force" && value == nullptr) continue;
    if (is_list(field)) {
      // One table for the lists of a record; it stands at the first.
      if (lists == nullptr) lists = form.editorAt(pointer);
      expect_told(lists, field, pointer);
    } else {
      expect_told(form.editorAt(pointer), field, pointer);
    }
  }
}

QTableWidget* table_of(const FieldEditor* editor) { return editor->findChild<QTableWidget*>(); }

QPushButton* button_of(const QWidget* owner, const QString& text) {
  for (QPushButton* button : owner->findChildren<QPushButton*>()) {
    if (button->text() == text && !button->isHidden()) return button;
  }
  return nullptr;
}

}  // namespace

class FormFieldsTest : public QObject {
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

  void everyJobFieldHasItsEditor() {
    const std::vector<std::pair<const model::RecordInfo*, std::string>> records{
        {&model::job_table().info(), ""},
        {&model::supply_table().info(), "/supply"},
        {&model::climate_table().info(), "/climate"},
        {&model::feed_table().info(), "/feed"},
        {&model::door_table().info(), "/doors/0"},
        {&model::door_table().info(), "/doors/1"},
        {&model::pulse_table().info(), "/pulse"},
        {&model::use_table().info(), "/use"},
        {&model::limits_table().info(), "/limits"},
        {&model::spread_table().info(), "/spread"}};
    for (const auto& [record, prefix] : records) {
      const RecordForm form(*document_, *record, prefix, {}, UnitSystem::metric, nullptr);
      expect_complete(form, *record, prefix, *document_);
      QVERIFY2(!form.editors().empty(), prefix.c_str());
    }
    // The three shapes stand in the two doors, so every key of a rod force has been seen.
    for (const auto& field : model::rod_force_table().info().fields) {
      bool seen = false;
      for (const char* place : {"/doors/0/rod_force/", "/doors/1/rod_force/", "/doors/1/rod_force_unlock/"}) {
        seen = seen || model::value_at(document_->tree(), place + field.key) != nullptr;
      }
      QVERIFY2(seen, field.key.c_str());
    }
  }

  void everyPartFieldHasItsEditor() {
    for (const auto& kind : model::part_kinds()) {
      const auto ids = document_->catalogue().ids_of(kind);
      QVERIFY(!ids.empty());
      const auto part = document_->catalogue().find(ids.front());
      QVERIFY(
          document_->edit({with_part(document_->tree(), copied_part(*part, "own-" + kind))}, "own").empty());
      const auto index = own_part_index(document_->tree(), "own-" + kind);
      QVERIFY(index.has_value());
      const std::string prefix = model::pointer_to("/parts", *index);
      const model::RecordInfo& body = *model::part_body_info(kind);
      const RecordForm form(*document_, body, prefix, {}, UnitSystem::metric, nullptr);
      expect_complete(form, body, prefix, *document_);
      const model::RecordInfo& common = model::part_table().info();
      const RecordForm rest(*document_, common, prefix, {"id", "title", "price", "source"},
                            UnitSystem::metric, nullptr);
      expect_complete(rest, common, prefix, *document_);
    }
  }

  void labelsDifferInARecord() {
    std::vector<const model::RecordInfo*> records{
        &model::supply_table().info(),  &model::climate_table().info(), &model::feed_table().info(),
        &model::door_table().info(),    &model::use_table().info(),     &model::limits_table().info(),
        &model::spread_table().info(),  &model::motor_table().info(),   &model::drive_table().info(),
        &model::thermal_table().info(), &model::ptc_table().info(),     &model::rod_force_table().info()};
    for (const auto& kind : model::part_kinds()) records.push_back(model::part_body_info(kind));
    for (const auto* record : records) {
      QStringList labels;
      for (const auto& field : record->fields) labels.append(field_label(record->name, field));
      QCOMPARE(labels.removeDuplicates(), 0);
    }
  }

  void referencesAreChosen() {
    FieldEditor* wire = open(model::feed_table().info(), "/feed", "/feed/wire");
    auto* box = wire->findChild<QComboBox*>();
    QCOMPARE(static_cast<std::size_t>(box->count()), document_->catalogue().ids_of("wire").size() + 1);
    QVERIFY(box->currentText().contains(QStringLiteral("wire-4.0")));
    choose(box, QStringLiteral("(wire-6.0)"));
    QCOMPARE(desk_tests::text_at(*document_, "/feed/wire"), std::string("wire-6.0"));
    choose(box, QStringLiteral("not chosen"));
    QVERIFY(!document_->study()->complete());
    document_->undoStack().undo();
    QVERIFY(box->currentText().contains(QStringLiteral("wire-6.0")));
    QSignalSpy browse(form_.get(), &RecordForm::browseRequested);
    QTest::mouseClick(button_of(wire, QStringLiteral("browse…")), Qt::LeftButton);
    QCOMPARE(browse.count(), 1);
    QCOMPARE(browse[0][0].toString(), QStringLiteral("wire"));
    QCOMPARE(browse[0][1].toString(), QStringLiteral("/feed/wire"));
  }

  void doorFuseMayBeNone() {
    FieldEditor* fuse = open(model::door_table().info(), "/doors/1", "/doors/1/fuse");
    auto* box = fuse->findChild<QComboBox*>();
    QCOMPARE(box->currentText(), QStringLiteral("none fitted"));
    choose(box, QStringLiteral("not chosen"));
    QVERIFY(model::value_at(document_->tree(), "/doors/1/fuse")->is_null());
    QVERIFY(!document_->study()->complete());
    QCOMPARE(box->currentText(), QStringLiteral("not chosen"));
    choose(box, QStringLiteral("none fitted"));
    QVERIFY(model::value_at(document_->tree(), "/doors/1/fuse") == nullptr);
    QVERIFY(document_->study()->complete());
  }

  void rodForceChangesShape() {
    FieldEditor* shape = open(model::door_table().info(), "/doors/0", "/doors/0/rod_force/shape");
    choose(shape->findChild<QComboBox*>(), QStringLiteral("table"));
    QCOMPARE(desk_tests::text_at(*document_, "/doors/0/rod_force/shape"), std::string("table"));
    QCOMPARE(document_->undoStack().count(), 1);
    // The force that it had, over the whole travel.
    QCOMPARE(number_at(*document_, "/doors/0/rod_force/x_mm/1"), 18.0);
    QCOMPARE(number_at(*document_, "/doors/0/rod_force/N/1"), 22.0);
    QVERIFY(form_->editorAt("/doors/0/rod_force/x_mm") != nullptr);
    QVERIFY(form_->editorAt("/doors/0/rod_force/peak_N") == nullptr);
    shape = form_->editorAt("/doors/0/rod_force/shape");
    choose(shape->findChild<QComboBox*>(), QStringLiteral("over centre"));
    QCOMPARE(number_at(*document_, "/doors/0/rod_force/peak_N"), 22.0);
    document_->undoStack().undo();
    document_->undoStack().undo();
    QCOMPARE(desk_tests::text_at(*document_, "/doors/0/rod_force/shape"), std::string("steady"));
    QVERIFY(form_->editorAt("/doors/0/rod_force/peak_N") != nullptr);
  }

  void unlockForceIsAddedAndRemoved() {
    open(model::door_table().info(), "/doors/0", "/doors/0/name");
    auto* add = form_->findChild<QPushButton*>(QStringLiteral("/doors/0/rod_force_unlock#add"));
    QVERIFY(add != nullptr);
    QTest::mouseClick(add, Qt::LeftButton);
    QCOMPARE(number_at(*document_, "/doors/0/rod_force_unlock/peak_N"), 22.0);
    QVERIFY(form_->editorAt("/doors/0/rod_force_unlock/peak_N") != nullptr);
    QTest::mouseClick(form_->findChild<QPushButton*>(QStringLiteral("/doors/0/rod_force_unlock#remove")),
                      Qt::LeftButton);
    QVERIFY(model::value_at(document_->tree(), "/doors/0/rod_force_unlock") == nullptr);
    QCOMPARE(document_->undoStack().count(), 2);
  }

  void listRowsAreEdited() {
    FieldEditor* list = open(model::door_table().info(), "/doors/1", "/doors/1/rod_force/x_mm");
    QTableWidget* table = table_of(list);
    QCOMPARE(table->rowCount(), 4);
    table->item(1, 1)->setText(QStringLiteral("34"));
    QCOMPARE(number_at(*document_, "/doors/1/rod_force/N/1"), 34.0);
    table->setCurrentCell(1, 0);
    QTest::mouseClick(button_of(list, QStringLiteral("add row")), Qt::LeftButton);
    QCOMPARE(table->rowCount(), 5);
    QCOMPARE(number_at(*document_, "/doors/1/rod_force/x_mm/2"), 8.0);  // halfway from 4 to 12
    QCOMPARE(number_at(*document_, "/doors/1/rod_force/N/2"), 30.0);
    QCOMPARE(document_->undoStack().count(), 2);
    table->setCurrentCell(2, 0);
    QTest::mouseClick(button_of(list, QStringLiteral("remove row")), Qt::LeftButton);
    QCOMPARE(table->rowCount(), 4);
    document_->undoStack().undo();
    QCOMPARE(table->rowCount(), 5);
  }

  void badListCellStaysMarked() {
    FieldEditor* list = open(model::door_table().info(), "/doors/1", "/doors/1/rod_force/x_mm");
    QTableWidget* table = table_of(list);
    const std::string before = document_->text();
    table->item(1, 0)->setText(QStringLiteral("400"));
    QCOMPARE(document_->text(), before);
    QCOMPARE(table->item(1, 0)->text(), QStringLiteral("400"));
    QVERIFY2(list->fault().contains(QStringLiteral("0 to 100 mm")), qPrintable(list->fault()));
    QVERIFY(!table->item(1, 0)->icon().isNull());
    // Out of order, and cured by the neighbour: the lists are taken as a whole.
    table->item(1, 0)->setText(QStringLiteral("14"));
    QVERIFY2(list->fault().contains(QStringLiteral("above the entry before")), qPrintable(list->fault()));
    table->item(2, 0)->setText(QStringLiteral("16"));
    QVERIFY2(list->fault().isEmpty(), qPrintable(list->fault()));
    QCOMPARE(number_at(*document_, "/doors/1/rod_force/x_mm/1"), 14.0);
    table->item(0, 0)->setText(QStringLiteral("x"));
    QVERIFY(!list->fault().isEmpty());
    QTest::keyClick(table, Qt::Key_Escape);
    QVERIFY(list->fault().isEmpty());
    QCOMPARE(table->item(0, 0)->text(), QStringLiteral("0"));
    QVERIFY(document_->refused().empty());
  }

  void listKeepsFileNumbersInUsUnits() {
    FieldEditor* list = open(model::door_table().info(), "/doors/1", "/doors/1/rod_force/x_mm");
    form_->setUnits(UnitSystem::us);
    QTableWidget* table = table_of(list);
    QCOMPARE(table->item(1, 0)->text(), QStringLiteral("0.157"));  // 4 mm
    table->item(2, 0)->setText(QStringLiteral("0.5"));
    QCOMPARE(number_at(*document_, "/doors/1/rod_force/x_mm/1"), 4.0);
    QCOMPARE(number_at(*document_, "/doors/1/rod_force/x_mm/2"), 12.7);
    QCOMPARE(number_at(*document_, "/doors/1/rod_force/N/1"), 32.0);
  }

  void textsAndTolerances() {
    FieldEditor* name = open(model::door_table().info(), "/doors/1", "/doors/1/name");
    type_in(name, "front left");
    QVERIFY2(name->fault().contains(QStringLiteral("already")), qPrintable(name->fault()));
    QCOMPARE(desk_tests::text_at(*document_, "/doors/1/name"), std::string("tailgate"));
    type_in(name, "hatch");
    QCOMPARE(desk_tests::text_at(*document_, "/doors/1/name"), std::string("hatch"));
    form_.reset();
    const auto part = document_->catalogue().find("act-ordinary-2w");
    QVERIFY(document_->edit({with_part(document_->tree(), copied_part(*part, "mine"))}, "own").empty());
    FieldEditor* tolerance = open(model::actuator_table().info(), "/parts/0", "/parts/0/tolerance");
    auto* figures = tolerance->findChild<QComboBox*>();
    figures->setCurrentIndex(figures->findData(QStringLiteral("/ptc/resistance_ohm")));
    QTest::mouseClick(button_of(tolerance, QStringLiteral("add")), Qt::LeftButton);
    QCOMPARE(number_at(*document_, "/parts/0/tolerance/~1ptc~1resistance_ohm"), 0.1);
    table_of(tolerance)->item(0, 1)->setText(QStringLiteral("0.25"));
    QCOMPARE(number_at(*document_, "/parts/0/tolerance/~1ptc~1resistance_ohm"), 0.25);
    table_of(tolerance)->item(0, 1)->setText(QStringLiteral("2"));
    QVERIFY(!tolerance->fault().isEmpty());
    QCOMPARE(number_at(*document_, "/parts/0/tolerance/~1ptc~1resistance_ohm"), 0.25);
  }

  void curveGoesInPlace() {
    const auto part = document_->catalogue().find("act-ordinary-2w");
    QVERIFY(document_->edit({with_part(document_->tree(), copied_part(*part, "mine"))}, "own").empty());
    FieldEditor* curve = open(model::ptc_table().info(), "/parts/0/ptc", "/parts/0/ptc/curve");
    choose(curve->findChild<QComboBox*>(), QStringLiteral("points of its own"));
    const model::Raw* value = model::value_at(document_->tree(), "/parts/0/ptc/curve");
    QVERIFY(value != nullptr && value->object() != nullptr);
    QVERIFY(form_->editorAt("/parts/0/ptc/curve/T_C") != nullptr);
    document_->undoStack().undo();
    QCOMPARE(desk_tests::text_at(*document_, "/parts/0/ptc/curve"), std::string("curve-polymer-30v"));
    QVERIFY(form_->editorAt("/parts/0/ptc/curve/T_C") == nullptr);
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

  /// As a hand would: by the item that holds the text.
  static void choose(QComboBox* box, const QString& part_of_text) {
    const int index = box->findText(part_of_text, Qt::MatchContains);
    QVERIFY2(index >= 0, qPrintable(part_of_text));
    box->setCurrentIndex(index);
    Q_EMIT box->activated(index);
  }

  std::unique_ptr<Document> document_;
  std::unique_ptr<RecordForm> form_;
};

QTEST_MAIN(FormFieldsTest)
#include "form_fields_test.moc"
