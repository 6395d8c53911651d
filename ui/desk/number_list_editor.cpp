// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/number_list_editor.h"

#include <QHBoxLayout>
#include <QHeaderView>
#include <QKeyEvent>
#include <QPushButton>
#include <QStyle>
#include <QTableWidget>
#include <QVBoxLayout>
#include <algorithm>

#include "desk/field_words.h"
#include "desk/number_entry.h"
#include "desk/table_copy.h"
#include "model/tree_edit.h"

namespace latchwright::desk {

namespace {
constexpr int most_rows_shown = 10;
}

NumberListEditor::NumberListEditor(Document& document, const std::string& record,
                                   std::vector<model::FieldInfo> columns, std::string prefix, QWidget* parent)
    : FieldEditor(document, record, columns.front(), model::pointer_to(prefix, columns.front().key), parent),
      record_name_(record),
      columns_(std::move(columns)),
      prefix_(std::move(prefix)),
      table_(new QTableWidget(this)),
      add_(new QPushButton(tr("add row"), this)),
      remove_(new QPushButton(tr("remove row"), this)) {
  table_->setColumnCount(static_cast<int>(columns_.size()));
  table_->horizontalHeader()->setSectionResizeMode(QHeaderView::Stretch);
  table_->verticalHeader()->setDefaultAlignment(Qt::AlignRight | Qt::AlignVCenter);
  table_->setSelectionMode(QAbstractItemView::SingleSelection);
  table_->setTabKeyNavigation(false);
  table_->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
  make_copyable(table_);
  row()->insertWidget(0, table_, 1);
  auto* buttons = new QVBoxLayout;
  buttons->setSpacing(4);
  buttons->addWidget(add_);
  buttons->addWidget(remove_);
  buttons->addStretch(1);
  row()->insertLayout(1, buttons);
  for (QPushButton* button : {add_, remove_}) button->setAutoDefault(false);
  add_->setToolTip(tr("Adds a row below the chosen one, halfway to the next"));
  add_->setAccessibleName(tr("add row: %1").arg(record_label(record)));
  remove_->setAccessibleName(tr("remove row: %1").arg(record_label(record)));
  setMain(table_);
  connect(table_, &QTableWidget::cellChanged, this, &NumberListEditor::takeCell);
  connect(table_, &QTableWidget::currentCellChanged, this, [this] { setButtons(); });
  connect(add_, &QPushButton::clicked, this, &NumberListEditor::addRow);
  connect(remove_, &QPushButton::clicked, this, &NumberListEditor::removeRow);
  NumberListEditor::unitsChanged();
  NumberListEditor::refresh();
}

QString NumberListEditor::help() const {
  QStringList each;
  for (const auto& column : columns_) {
    each.append(
        tr("%1: %2 (%3)")
            .arg(field_label(record_name_, column), meaning_of(column), shown_range(column, units())));
  }
  return tr("%1. In the file: %2.").arg(each.join(QStringLiteral("; ")), [this] {
    QStringList keys;
    for (const auto& column : columns_) keys.append(QString::fromStdString(column.key));
    return keys.join(QStringLiteral(", "));
  }());
}

std::string NumberListEditor::pointerOf(std::size_t column) const {
  return model::pointer_to(prefix_, columns_[column].key);
}

std::optional<model::Raw::List> NumberListEditor::listOf(std::size_t column) const {
  const auto bad = document().refused().find(pointerOf(column));
  const model::Raw* value = bad != document().refused().end() && bad->second.value
                                ? &*bad->second.value
                                : model::value_at(document().tree(), pointerOf(column));
  if (value == nullptr || value->list() == nullptr) return std::nullopt;
  return *value->list();
}

QString NumberListEditor::textOf(std::size_t column, const model::Raw& item) const {
  if (item.is_null()) return {};
  if (const double* number = item.number()) {
    return shown_number(*number, units::shown_unit(columns_[column].unit, units()));
  }
  return item.text() ? QString::fromStdString(*item.text()) : QString::fromStdString(item.shown());
}

QString NumberListEditor::cellFault(std::size_t column, const model::Raw& item) const {
  const model::FieldInfo& info = columns_[column];
  if (const double* number = item.number()) return range_fault(*number, info, units());
  if (item.is_null() && info.kind == model::FieldKind::gate_list) return {};
  if (const std::string* text = item.text()) {
    const QString unit = units::shown_unit(info.unit, units()).text;
    const QString why = read_typed(QString::fromStdString(*text), unit).why;
    if (!why.isEmpty()) return tr("%1 (%2 wanted)").arg(why, shown_range(info, units()));
  }
  return tr("a number is wanted (%1)").arg(shown_range(info, units()));
}

void NumberListEditor::unitsChanged() {
  QStringList heads;
  for (const auto& column : columns_) {
    const QString unit = units::shown_unit(column.unit, units()).text;
    const QString label = field_label(record_name_, column);
    heads.append(unit.isEmpty() ? label : tr("%1, %2").arg(label, unit));
  }
  table_->setHorizontalHeaderLabels(heads);
  for (std::size_t k = 0; k < columns_.size(); ++k) {
    table_->horizontalHeaderItem(static_cast<int>(k))->setToolTip(meaning_of(columns_[k]));
  }
}

void NumberListEditor::refresh() {
  filling_ = true;
  std::size_t count = 0;
  std::vector<model::Raw::List> lists;
  for (std::size_t k = 0; k < columns_.size(); ++k) {
    lists.push_back(listOf(k).value_or(model::Raw::List{}));
    count = std::max(count, lists.back().size());
  }
  if (table_->rowCount() != static_cast<int>(count)) table_->setRowCount(static_cast<int>(count));
  rows_.assign(count, std::vector<Cell>(columns_.size()));
  QString first_fault;
  for (std::size_t r = 0; r < count; ++r) {
    for (std::size_t c = 0; c < columns_.size(); ++c) {
      Cell& cell = rows_[r][c];
      if (r < lists[c].size()) cell.held = lists[c][r];
      cell.shown = cell.held ? textOf(c, *cell.held) : QString();
      QTableWidgetItem* item = table_->item(static_cast<int>(r), static_cast<int>(c));
      if (item == nullptr) {
        item = new QTableWidgetItem;
        item->setTextAlignment(Qt::AlignRight | Qt::AlignVCenter);
        table_->setItem(static_cast<int>(r), static_cast<int>(c), item);
      }
      // Only what differs, so that a cell that is being typed in is left alone.
      if (item->text() != cell.shown) item->setText(cell.shown);
      const QString fault = cellFault(c, cell.held.value_or(model::Raw()));
      item->setToolTip(fault);
      item->setIcon(fault.isEmpty() ? QIcon() : style()->standardIcon(QStyle::SP_MessageBoxWarning));
      if (!fault.isEmpty() && first_fault.isEmpty()) {
        first_fault = tr("Row %1, %2: %3").arg(r + 1).arg(field_label(record_name_, columns_[c]), fault);
      }
    }
  }
  filling_ = false;
  std::string why;
  for (std::size_t c = 0; c < columns_.size() && why.empty(); ++c) {
    const auto bad = document().refused().find(pointerOf(c));
    if (bad != document().refused().end()) why = bad->second.why;
  }
  setFault(!first_fault.isEmpty() ? first_fault : reasonOf(why));
  fitHeight();
  setButtons();
}

void NumberListEditor::setButtons() {
  const std::size_t count = rows_.size();
  add_->setEnabled(count < columns_.front().max_items);
  remove_->setEnabled(count > columns_.front().min_items);
  remove_->setToolTip(remove_->isEnabled()
                          ? tr("Takes the chosen row away")
                          : tr("At least %1 rows are needed").arg(columns_.front().min_items));
}

void NumberListEditor::fitHeight() {
  int height = table_->horizontalHeader()->sizeHint().height() + 2 * table_->frameWidth();
  const int rows = std::min(table_->rowCount(), most_rows_shown);
  for (int k = 0; k < rows; ++k) height += table_->rowHeight(k);
  table_->setFixedHeight(height);
}

model::Raw NumberListEditor::typedItem(std::size_t column, const QString& text) const {
  if (text.isEmpty()) return {};
  const units::ShownUnit unit = units::shown_unit(columns_[column].unit, units());
  const TypedNumber typed = read_typed(text, unit.text);
  return typed.value ? model::Raw(file_number(*typed.value, unit)) : model::Raw(text.toStdString());
}

void NumberListEditor::takeCell(int row, int column) {
  if (filling_) return;
  const auto r = static_cast<std::size_t>(row), c = static_cast<std::size_t>(column);
  const QString text = table_->item(row, column)->text().trimmed();
  Cell& cell = rows_[r][c];
  if (text == cell.shown) return;
  const model::Raw item = typedItem(c, text);
  if (textOf(c, item) == cell.shown && cell.held && cell.held->number()) {
    refresh();
    return;
  }
  cell.held = item;
  putRows();
}

void NumberListEditor::addRow() {
  const int current = table_->currentRow();
  const std::size_t at = current < 0 ? rows_.size() - 1 : static_cast<std::size_t>(current);
  std::vector<Cell> fresh(columns_.size());
  for (std::size_t c = 0; c < columns_.size(); ++c) {
    const auto number = [&](std::size_t r) {
      const double* found = r < rows_.size() && rows_[r][c].held ? rows_[r][c].held->number() : nullptr;
      return found ? std::optional<double>(*found) : std::nullopt;
    };
    const auto here = number(at), next = number(at + 1), before = at > 0 ? number(at - 1) : std::nullopt;
    if (!here) {
      fresh[c].held = rows_.empty() || !rows_[at][c].held ? model::Raw(columns_[c].low) : *rows_[at][c].held;
    } else if (next) {
      fresh[c].held = model::Raw((*here + *next) / 2);
    } else {
      // Past the end the row goes on as the last two do, within what is permitted.
      const double ahead = before ? 2 * *here - *before : *here;
      fresh[c].held = model::Raw(std::clamp(ahead, columns_[c].low, columns_[c].high));
    }
  }
  rows_.insert(rows_.begin() + static_cast<std::ptrdiff_t>(rows_.empty() ? 0 : at + 1), std::move(fresh));
  putRows();
  table_->setCurrentCell(static_cast<int>(std::min(at + 1, rows_.size() - 1)), 0);
}

void NumberListEditor::removeRow() {
  const int current = table_->currentRow();
  if (rows_.empty()) return;
  const std::size_t at = current < 0 ? rows_.size() - 1 : static_cast<std::size_t>(current);
  rows_.erase(rows_.begin() + static_cast<std::ptrdiff_t>(at));
  putRows();
  table_->setCurrentCell(static_cast<int>(std::min(at, rows_.size() - 1)), 0);
}

void NumberListEditor::putRows() {
  std::vector<Edit> edits;
  for (std::size_t c = 0; c < columns_.size(); ++c) {
    model::Raw::List list;
    for (const auto& each : rows_) list.push_back(each[c].held.value_or(model::Raw()));
    edits.push_back({pointerOf(c), model::Raw(std::move(list))});
  }
  document().edit(edits, place_label(document().tree(), prefix_));
  refresh();
}

bool NumberListEditor::giveUp() {
  bool dropped = false;
  for (std::size_t c = 0; c < columns_.size(); ++c) {
    if (document().refused().count(pointerOf(c)) == 0) continue;
    document().dropRefused(pointerOf(c));
    dropped = true;
  }
  if (dropped) refresh();
  return dropped;
}

}  // namespace latchwright::desk
