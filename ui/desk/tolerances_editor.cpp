// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/tolerances_editor.h"

#include <QComboBox>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QPushButton>
#include <QStyle>
#include <QTableWidget>
#include <QVBoxLayout>
#include <algorithm>

#include "desk/choice_editor.h"
#include "desk/field_words.h"
#include "desk/number_entry.h"
#include "desk/table_copy.h"
#include "model/part_fields.h"

namespace latchwright::desk {

QString actuator_figure_label(const std::string& pointer) {
  const model::RecordInfo* record = &model::actuator_table().info();
  QStringList said;
  const QString whole = QString::fromStdString(pointer);
  for (const QString& key : whole.mid(1).split(QLatin1Char('/'))) {
    const model::RecordInfo* next = nullptr;
    for (const auto& field : record ? record->fields : std::vector<model::FieldInfo>{}) {
      if (field.key != key.toStdString()) continue;
      said.append(field_label(record->name, field));
      next = field.child;
    }
    record = next;
  }
  return said.isEmpty() ? whole : said.join(QStringLiteral(": "));
}

TolerancesEditor::TolerancesEditor(Document& document, const std::string& record,
                                   const model::FieldInfo& field, const std::string& pointer, QWidget* parent)
    : FieldEditor(document, record, field, pointer, parent),
      table_(new QTableWidget(0, 2, this)),
      figures_(make_choice_box(this)),
      add_(new QPushButton(tr("add"), this)),
      remove_(new QPushButton(tr("remove row"), this)) {
  table_->setHorizontalHeaderLabels({tr("figure"), tr("± relative")});
  table_->horizontalHeader()->setSectionResizeMode(0, QHeaderView::Stretch);
  table_->horizontalHeader()->setSectionResizeMode(1, QHeaderView::ResizeToContents);
  table_->verticalHeader()->hide();
  table_->setTabKeyNavigation(false);
  make_copyable(table_);
  for (const auto& each : model::actuator_number_pointers()) {
    figures_->addItem(actuator_figure_label(each), QString::fromStdString(each));
  }
  figures_->setAccessibleName(tr("figure to give a tolerance"));
  watch(figures_);
  for (QPushButton* button : {add_, remove_}) button->setAutoDefault(false);
  add_->setAccessibleName(tr("add tolerance"));
  remove_->setAccessibleName(tr("remove tolerance"));
  auto* column = new QVBoxLayout;
  auto* buttons = new QHBoxLayout;
  buttons->addWidget(figures_, 1);
  buttons->addWidget(add_);
  buttons->addWidget(remove_);
  column->addWidget(table_);
  column->addLayout(buttons);
  row()->insertLayout(0, column, 1);
  setMain(table_);
  connect(table_, &QTableWidget::cellChanged, this, &TolerancesEditor::takeCell);
  connect(add_, &QPushButton::clicked, this, &TolerancesEditor::add);
  connect(remove_, &QPushButton::clicked, this, &TolerancesEditor::remove);
  TolerancesEditor::refresh();
}

void TolerancesEditor::refresh() {
  filling_ = true;
  const Refused* bad = refused();
  const model::Raw* held = bad ? (bad->value ? &*bad->value : nullptr) : value();
  rows_ = held && held->object() ? *held->object() : model::Raw::Object{};
  table_->setRowCount(static_cast<int>(rows_.size()));
  for (int r = 0; r < table_->rowCount(); ++r) {
    const auto& [figure, half_width] = rows_[static_cast<std::size_t>(r)];
    for (int c = 0; c < 2; ++c) {
      QTableWidgetItem* item = table_->item(r, c);
      if (item == nullptr) {
        item = new QTableWidgetItem;
        if (c == 0) item->setFlags(Qt::ItemIsEnabled | Qt::ItemIsSelectable);
        table_->setItem(r, c, item);
      }
      const QString text = c == 0              ? actuator_figure_label(figure)
                           : half_width.text() ? QString::fromStdString(*half_width.text())
                                               : QString::fromStdString(half_width.shown());
      if (item->text() != text) item->setText(text);
    }
    const bool good = half_width.number() && range_fault(*half_width.number(), field(), units()).isEmpty();
    table_->item(r, 1)->setIcon(good ? QIcon() : style()->standardIcon(QStyle::SP_MessageBoxWarning));
  }
  int height = table_->horizontalHeader()->sizeHint().height() + 2 * table_->frameWidth();
  for (int r = 0; r < std::min(table_->rowCount(), 8); ++r) height += table_->rowHeight(r);
  table_->setFixedHeight(height);
  remove_->setEnabled(!rows_.empty());
  filling_ = false;
  setFault(bad ? reasonOf(bad->why) : QString());
}

void TolerancesEditor::takeCell(int row, int column) {
  if (filling_ || column != 1) return;
  const TypedNumber typed = read_typed(table_->item(row, 1)->text(), QString());
  auto& half_width = rows_[static_cast<std::size_t>(row)].second;
  half_width =
      typed.value ? model::Raw(*typed.value) : model::Raw(table_->item(row, 1)->text().toStdString());
  putRows();
}

void TolerancesEditor::add() {
  const std::string figure = figures_->currentData().toString().toStdString();
  const bool there =
      std::any_of(rows_.begin(), rows_.end(), [&](const auto& each) { return each.first == figure; });
  constexpr double usual = 0.1;
  if (!there) rows_.emplace_back(figure, model::Raw(usual));
  putRows();
}

void TolerancesEditor::remove() {
  if (rows_.empty()) return;
  const int current = table_->currentRow();
  rows_.erase(rows_.begin() + (current < 0 ? static_cast<int>(rows_.size()) - 1 : current));
  putRows();
}

void TolerancesEditor::putRows() {
  if (rows_.empty()) {
    put(std::nullopt);
  } else {
    put(model::Raw(rows_));
  }
  refresh();
}

}  // namespace latchwright::desk
