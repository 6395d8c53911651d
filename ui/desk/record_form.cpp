// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/record_form.h"

#include <QApplication>
#include <QGridLayout>
#include <QLineEdit>
#include <QPushButton>
#include <QVBoxLayout>
#include <algorithm>

#include "desk/choice_editor.h"
#include "desk/field_words.h"
#include "desk/number_list_editor.h"
#include "desk/rod_shapes.h"
#include "desk/tab_place.h"
#include "model/tree_edit.h"

namespace latchwright::desk {

using model::FieldInfo;
using model::FieldKind;
using model::Raw;

namespace {

bool is_list(const FieldInfo& field) {
  return field.kind == FieldKind::number_list || field.kind == FieldKind::gate_list;
}

/// Where a label must begin to stand on one line with the first row of its editor.
int label_drop(const QWidget* widget) {
  const QLineEdit line;
  return std::max(0, (line.sizeHint().height() - widget->fontMetrics().height()) / 2) + 2;
}

}  // namespace

QLabel* make_heading(const QString& text, QWidget* parent) {
  auto* heading = new QLabel(text, parent);
  heading->setWordWrap(true);
  heading->setTextFormat(Qt::PlainText);
  QFont bold = heading->font();
  bold.setBold(true);
  heading->setFont(bold);
  return heading;
}

RecordForm::RecordForm(Document& document, const model::RecordInfo& record, std::string prefix,
                       std::vector<std::string> keys, units::UnitSystem units, QWidget* parent)
    : QWidget(parent),
      document_(document),
      record_(record),
      prefix_(std::move(prefix)),
      keys_(std::move(keys)),
      units_(units) {
  auto* column = new QVBoxLayout(this);
  column->setContentsMargins(0, 0, 0, 0);
  build();
  connect(&document_, &Document::studyChanged, this, &RecordForm::refresh);
  connect(&document_, &Document::refusedChanged, this, &RecordForm::refresh);
}

RecordForm::RecordForm(RecordForm& owner, const model::RecordInfo& record, std::string prefix)
    : QWidget(&owner),
      document_(owner.document_),
      record_(record),
      prefix_(std::move(prefix)),
      units_(owner.units_) {
  auto* column = new QVBoxLayout(this);
  column->setContentsMargins(0, 0, 0, 0);
  build();
  connect(this, &RecordForm::helpRequested, &owner, &RecordForm::helpRequested);
  connect(this, &RecordForm::browseRequested, &owner, &RecordForm::browseRequested);
}

const Raw* RecordForm::held(const std::string& key) const {
  return model::value_at(document_.tree(), model::pointer_to(prefix_, key));
}

bool RecordForm::shows(const FieldInfo& field) const {
  if (field.kind == FieldKind::record_list || field.kind == FieldKind::parts) return false;
  if (!keys_.empty() && std::find(keys_.begin(), keys_.end(), field.key) == keys_.end()) return false;
  if (record_.name != "rod_force") return true;
  const Raw* force = model::value_at(document_.tree(), prefix_);
  return force == nullptr || belongs_to_shape(*force, field.key);
}

bool RecordForm::isOptionalRecord(const FieldInfo& field) const {
  return field.kind == FieldKind::record && !field.required && !field.fallback;
}

std::string RecordForm::structure() const {
  std::string said;
  for (const FieldInfo& field : record_.fields) {
    if (!shows(field)) continue;
    said += field.key;
    const Raw* value = held(field.key);
    const bool may_differ = isOptionalRecord(field) || field.kind == FieldKind::curve;
    if (may_differ && value != nullptr && value->object() != nullptr) said += " in place";
    said.push_back('\n');
  }
  return said;
}

void RecordForm::build() {
  built_ = structure();
  content_ = new QWidget(this);
  auto* grid = new QGridLayout(content_);
  grid->setContentsMargins(0, 0, 0, 0);
  grid->setHorizontalSpacing(8);
  grid->setVerticalSpacing(3);
  grid->setColumnStretch(0, 2);
  grid->setColumnStretch(1, 3);
  std::vector<FieldInfo> lists;
  for (const FieldInfo& field : record_.fields) {
    if (!shows(field)) continue;
    if (is_list(field)) {
      lists.push_back(field);
    } else if (field.kind == FieldKind::record) {
      addRecord(field, grid);
    } else {
      addField(field, grid);
    }
  }
  // Lists of one record are the columns of one table.
  if (!lists.empty()) {
    addEditor(new NumberListEditor(document_, record_.name, std::move(lists), prefix_, content_), grid, true);
  }
  layout()->addWidget(content_);
}

void RecordForm::addEditor(FieldEditor* editor, QGridLayout* grid, bool whole_width) {
  editor->setUnits(units_);
  own_.push_back(editor);
  connect(editor, &FieldEditor::helpRequested, this, &RecordForm::helpRequested);
  connect(editor, &FieldEditor::browseRequested, this, &RecordForm::browseRequested);
  const int row = grid->rowCount();
  if (whole_width) {
    grid->addWidget(editor, row, 0, 1, 2);
    return;
  }
  auto* label = new QLabel(editor->label(), content_);
  label->setTextFormat(Qt::PlainText);
  label->setWordWrap(true);
  label->setBuddy(editor);
  label->setToolTip(editor->help());
  label->setContentsMargins(0, label_drop(label), 0, 0);
  grid->addWidget(label, row, 0, Qt::AlignTop);
  grid->addWidget(editor, row, 1, Qt::AlignTop);
}

void RecordForm::addField(const FieldInfo& field, QGridLayout* grid) {
  const std::string pointer = model::pointer_to(prefix_, field.key);
  const bool needed = record_.name == "rod_force" && field.key != "cold_factor";
  FieldEditor* editor = FieldEditor::make(document_, record_.name, field, pointer, needed, content_);
  if (needed && field.key == "shape") {
    editor->setMakeEdits([this](const std::optional<Raw>& shape) { return reshape(shape); });
  }
  const bool tall = field.many_lines || field.kind == FieldKind::tolerances;
  if (tall) {
    auto* label = new QLabel(editor->label(), content_);
    label->setBuddy(editor);
    grid->addWidget(label, grid->rowCount(), 0, 1, 2);
  }
  addEditor(editor, grid, tall);
  const Raw* value = held(field.key);
  if (field.kind == FieldKind::curve && value && value->object()) addInner(*field.child, pointer, grid);
}

void RecordForm::addInner(const model::RecordInfo& record, const std::string& prefix, QGridLayout* grid) {
  auto* inner = new RecordForm(*this, record, prefix);
  inner_.push_back(inner);
  grid->addWidget(inner, grid->rowCount(), 0, 1, 2);
}

void RecordForm::addRecord(const FieldInfo& field, QGridLayout* grid) {
  const QString label = field_label(record_.name, field);
  const std::string pointer = model::pointer_to(prefix_, field.key);
  const bool optional = isOptionalRecord(field), there = held(field.key) != nullptr;
  auto* heading = make_heading(label, content_);
  heading->setToolTip(meaning_of(field));
  heading->setContentsMargins(0, heading->fontMetrics().height() / 3, 0, 0);
  const int row = grid->rowCount();
  grid->addWidget(heading, row, 0, 1, optional ? 1 : 2);
  if (optional) {
    auto* button = new QPushButton(there ? tr("remove") : tr("add"), content_);
    button->setObjectName(QString::fromStdString(pointer) + QLatin1String(there ? "#remove" : "#add"));
    button->setAccessibleName(there ? tr("remove: %1").arg(label) : tr("add: %1").arg(label));
    button->setToolTip(meaning_of(field));
    button->setAutoDefault(false);
    grid->addWidget(button, row, 1, Qt::AlignLeft);
    connect(button, &QPushButton::clicked, this, [this, pointer, there, field] {
      const QString what = place_label(document_.tree(), pointer);
      if (there) {
        document_.edit({{pointer, std::nullopt}}, what);
      } else {
        document_.edit({{pointer, firstValue(field)}}, what);
      }
    });
    if (!there) return;
  }
  addInner(*field.child, pointer, grid);
}

Raw RecordForm::firstValue(const FieldInfo& field) const {
  if (const Raw* locking = held("rod_force"); field.child->name == "rod_force" && locking) return *locking;
  // A table that changes nothing yet.
  Raw::Object members;
  for (const FieldInfo& each : field.child->fields) {
    constexpr double usual_C = 25;
    if (is_list(each)) members.emplace_back(each.key, Raw(Raw::List{Raw(each.unit == "°C" ? usual_C : 1.0)}));
  }
  return Raw(std::move(members));
}

std::vector<Edit> RecordForm::reshape(const std::optional<Raw>& shape) const {
  const Raw* force = model::value_at(document_.tree(), prefix_);
  if (force == nullptr || !shape || shape->text() == nullptr) return {};
  const std::string door = prefix_.substr(0, prefix_.rfind('/'));
  const Raw* stroke = model::value_at(document_.tree(), door + "/stroke_mm");
  const double stroke_mm = stroke && stroke->number() ? *stroke->number() : 0;
  return {{prefix_, reshaped(*force, *shape->text(), stroke_mm)}};
}

void RecordForm::refresh() {
  if (structure() != built_) {
    rebuild();
    return;
  }
  for (FieldEditor* editor : own_) editor->refresh();
  for (RecordForm* inner : inner_) inner->refresh();
}

void RecordForm::rebuild() {
  // Whoever had the focus gets it back at the same place; else the form's first field has it.
  QWidget* const focused = QApplication::focusWidget();
  const bool had_focus = focused != nullptr && isAncestorOf(focused);
  std::string place;
  for (QWidget* each = focused; had_focus && each != this; each = each->parentWidget()) {
    if (const auto* editor = qobject_cast<FieldEditor*>(each)) place = editor->pointer();
  }
  QWidget* const old = content_;
  // Hidden fields lose the focus, which must not take what is half typed in them.
  for (QLineEdit* line : old->findChildren<QLineEdit*>()) line->blockSignals(true);
  QWidget* const before = tab_place_before(old);
  own_.clear();
  inner_.clear();
  build();
  old->hide();
  // An editor of it may be at work right now.
  old->deleteLater();
  old->setObjectName(QString());
  for (FieldEditor* gone : old->findChildren<FieldEditor*>()) gone->setObjectName(QString());
  content_->show();
  put_in_tab_order(before, content_);
  if (!had_focus) return;
  FieldEditor* editor = editorAt(place);
  if (editor == nullptr && !own_.empty()) editor = own_.front();
  if (editor != nullptr) editor->setFocus();
}

void RecordForm::setUnits(units::UnitSystem units) {
  units_ = units;
  for (FieldEditor* editor : own_) editor->setUnits(units);
  for (RecordForm* inner : inner_) inner->setUnits(units);
}

void RecordForm::commitPending() {
  // Each may change the form that it is in.
  const std::vector<FieldEditor*> all = editors();
  for (FieldEditor* editor : all) {
    const auto still = editors();
    if (std::find(still.begin(), still.end(), editor) != still.end()) editor->commitPending();
  }
}

FieldEditor* RecordForm::editorAt(const std::string& pointer) const {
  for (FieldEditor* editor : editors()) {
    if (editor->pointer() == pointer) return editor;
  }
  return nullptr;
}

std::vector<FieldEditor*> RecordForm::editors() const {
  std::vector<FieldEditor*> all = own_;
  for (const RecordForm* inner : inner_) {
    const auto more = inner->editors();
    all.insert(all.end(), more.begin(), more.end());
  }
  return all;
}

}  // namespace latchwright::desk
