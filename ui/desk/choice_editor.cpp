// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/choice_editor.h"

#include <QAbstractItemView>
#include <QComboBox>
#include <QHBoxLayout>
#include <QPushButton>
#include <algorithm>

#include "desk/field_words.h"
#include "desk/number_entry.h"
#include "desk/part_figures.h"

namespace latchwright::desk {

namespace {

void widen_list(QComboBox* box) {
  // The list may be wider than the box: titles are told apart by their ends.
  const int wanted = box->view()->sizeHintForColumn(0) + 3 * box->fontMetrics().averageCharWidth();
  box->view()->setMinimumWidth(std::min(wanted, 70 * box->fontMetrics().averageCharWidth()));
}

}  // namespace

QComboBox* make_choice_box(QWidget* parent) {
  auto* box = new QComboBox(parent);
  box->setSizeAdjustPolicy(QComboBox::AdjustToMinimumContentsLengthWithIcon);
  box->setMinimumContentsLength(8);
  box->setFocusPolicy(Qt::StrongFocus);
  return box;
}

ChoiceEditor::ChoiceEditor(Document& document, const std::string& record, const model::FieldInfo& field,
                           const std::string& pointer, QWidget* parent)
    : FieldEditor(document, record, field, pointer, parent), box_(make_choice_box(this)) {
  for (const double number : field.values) {
    values_.emplace_back(number);
    box_->addItem(short_number(number));
  }
  for (const std::string& word : field.choices) {
    values_.emplace_back(word);
    box_->addItem(choice_label(word));
  }
  widen_list(box_);
  row()->insertWidget(0, box_, 1);
  setMain(box_);
  connect(box_, &QComboBox::activated, this, &ChoiceEditor::take);
  ChoiceEditor::refresh();
}

void ChoiceEditor::refresh() {
  const Refused* bad = refused();
  const model::Raw* held = bad && bad->value ? &*bad->value : value();
  int index = -1;
  for (std::size_t k = 0; held && k < values_.size(); ++k) {
    if (held->shown() == values_[k].shown()) index = static_cast<int>(k);
  }
  box_->setCurrentIndex(index);
  setFault(bad ? reasonOf(bad->why) : QString());
}

void ChoiceEditor::take(int index) {
  if (index < 0) return;
  const model::Raw* held = value();
  const model::Raw& wanted = values_[static_cast<std::size_t>(index)];
  if (held && refused() == nullptr && held->shown() == wanted.shown()) return;
  put(wanted);
  refresh();
}

std::string referred_kind(const model::FieldInfo& field) {
  if (field.kind == model::FieldKind::reference) return field.key;
  if (field.kind == model::FieldKind::identifier && field.key == "family") return "fuse_family";
  if (field.kind == model::FieldKind::curve) return "ptc_curve";
  return {};
}

const model::Catalogue& parts_of(const Document& document) {
  return document.study() ? *document.study()->catalogue : document.catalogue();
}

ReferenceEditor::ReferenceEditor(Document& document, const std::string& record, const model::FieldInfo& field,
                                 const std::string& pointer, std::string kind, Instead instead,
                                 QWidget* parent)
    : FieldEditor(document, record, field, pointer, parent),
      kind_(std::move(kind)),
      instead_(instead),
      box_(make_choice_box(this)) {
  row()->insertWidget(0, box_, 1);
  setMain(box_);
  auto* browse = new QPushButton(tr("browse…"), this);
  browse->setToolTip(tr("Compare all parts of this kind"));
  browse->setAccessibleName(tr("browse parts for: %1").arg(label()));
  // Enter in a field of a dialog must not press it.
  browse->setAutoDefault(false);
  row()->insertWidget(1, browse);
  connect(browse, &QPushButton::clicked, this, [this] {
    Q_EMIT browseRequested(QString::fromStdString(kind_), QString::fromStdString(this->pointer()));
  });
  connect(box_, &QComboBox::activated, this, &ReferenceEditor::take);
  fill();
  ReferenceEditor::refresh();
}

void ReferenceEditor::unitsChanged() {
  ids_.clear();
  fill();
}

void ReferenceEditor::fill() {
  std::vector<model::PartPtr> parts = parts_in_order(parts_of(document()), kind_);
  // Parts of files keep their record from one study to the next.
  if (!ids_.isEmpty() && parts == parts_) return;
  parts_ = std::move(parts);
  QStringList ids, titles, figures;
  if (instead_.open) {
    ids.append(QString());
    titles.append(tr("not chosen"));
    figures.append(tr("still to be chosen"));
  }
  if (instead_.none_fitted) {
    ids.append(QString());
    titles.append(tr("none fitted"));
    figures.append(tr("no fuse in this place"));
  }
  if (instead_.in_place) {
    ids.append(QString());
    titles.append(tr("points of its own"));
    figures.append(tr("the curve stands in this part"));
  }
  for (const auto& part : parts_) {
    const QString title = QString::fromStdString(part->title);
    const QString id = QString::fromStdString(part->id);
    ids.append(id);
    titles.append(kind_ == "wire" ? tr("%1: %2 (%3)").arg(principal_text(*part, units()), title, id)
                                  : tr("%1 (%2)").arg(title, id));
    figures.append(key_figures(*part, units()));
  }
  bool same = box_->count() == titles.size() && ids == ids_;
  for (int k = 0; same && k < box_->count(); ++k) same = box_->itemText(k) == titles[k];
  if (same) return;
  ids_ = ids;
  box_->clear();
  box_->addItems(titles);
  for (int k = 0; k < box_->count(); ++k) box_->setItemData(k, figures[k], Qt::ToolTipRole);
  widen_list(box_);
}

void ReferenceEditor::refresh() {
  fill();
  const Refused* bad = refused();
  const model::Raw* held = bad ? (bad->value ? &*bad->value : nullptr) : value();
  int index = -1;
  if (held && held->text()) {
    index = static_cast<int>(ids_.indexOf(QString::fromStdString(*held->text())));
  } else if (held && held->object()) {
    index = instead_.in_place ? 0 : -1;
  } else if (held == nullptr && instead_.none_fitted) {
    index = instead_.open ? 1 : 0;
  } else if (instead_.open) {
    index = 0;
  }
  box_->setCurrentIndex(index);
  setFault(bad ? reasonOf(bad->why) : QString());
  if (index >= 0) {
    box_->setToolTip(
        tr("%1\n%2\n%3")
            .arg(box_->itemText(index), box_->itemData(index, Qt::ToolTipRole).toString(), help()));
  }
}

void ReferenceEditor::take(int index) {
  if (index < 0) return;
  const QString id = ids_[index];
  if (id.isEmpty() && instead_.in_place) {
    takeInPlace();
    return;
  }
  std::optional<model::Raw> wanted;
  if (!id.isEmpty()) {
    wanted = model::Raw(id.toStdString());
  } else if (instead_.open && index == 0) {
    wanted = model::Raw();
  }
  const model::Raw* held = value();
  const bool same = held && wanted ? held->shown() == wanted->shown() : !held && !wanted;
  // Absent and null both read "not chosen", but for the fuse of a door run.
  const bool both_open = !held && wanted && wanted->is_null() && !instead_.none_fitted;
  if (refused() == nullptr && (same || both_open)) return;
  put(wanted);
  refresh();
}

void ReferenceEditor::takeInPlace() {
  const model::Raw* held = value();
  const model::PartPtr part = held && held->text() ? parts_of(document()).find(*held->text()) : nullptr;
  if (!part) return;
  // The points of the curve that it followed so far.
  const auto& curve = std::get<model::PtcCurve>(part->body);
  model::Raw::List temperatures(curve.T_C.begin(), curve.T_C.end()),
      ratios(curve.ratio.begin(), curve.ratio.end());
  put(model::Raw(model::Raw::Object{{"T_C", std::move(temperatures)}, {"ratio", std::move(ratios)}}));
  refresh();
}

}  // namespace latchwright::desk
