// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/faults_dialog.h"

#include <QApplication>
#include <QClipboard>
#include <QDialogButtonBox>
#include <QHeaderView>
#include <QLabel>
#include <QPushButton>
#include <QVBoxLayout>
#include <algorithm>

#include "desk/table_copy.h"

namespace latchwright::desk {

namespace {

/// More than anybody reads; a file that is no job may have them by the hundred thousand, and rows take long to lay out.
constexpr std::size_t most_rows = 200;

}  // namespace

FaultsDialog::FaultsDialog(const QString& what, const base::Issues& faults, QWidget* parent)
    : QDialog(parent), table_(new QTableWidget(static_cast<int>(std::min(faults.size(), most_rows)), 3, this)) {
  setWindowTitle(tr("Faults"));
  auto* heading = new QLabel(what, this);
  if (faults.size() > most_rows) {
    heading->setText(tr("%1 The first %2 of %3 faults:").arg(what).arg(most_rows).arg(faults.size()));
  }
  heading->setWordWrap(true);
  table_->setHorizontalHeaderLabels({tr("file"), tr("place"), tr("what is wrong")});
  table_->setAccessibleName(tr("Faults: file, place and what is wrong"));
  table_->setEditTriggers(QAbstractItemView::NoEditTriggers);
  table_->setSelectionBehavior(QAbstractItemView::SelectRows);
  table_->setWordWrap(true);
  table_->setTabKeyNavigation(false);
  table_->verticalHeader()->hide();
  table_->horizontalHeader()->setSectionResizeMode(2, QHeaderView::Stretch);
  make_copyable(table_);
  int row = 0;
  QString all;
  for (const auto& fault : faults) {
    if (row == table_->rowCount()) break;
    const QString file = QString::fromStdString(fault.file);
    const QString cells[] = {file.section(QLatin1Char('/'), -1),
                             fault.pointer.empty() ? tr("the whole file") : QString::fromStdString(fault.pointer),
                             QString::fromStdString(fault.text)};
    for (int column = 0; column < 3; ++column) {
      auto* item = new QTableWidgetItem(cells[column]);
      item->setToolTip(column == 0 ? file : cells[column]);
      table_->setItem(row, column, item);
    }
    all += QString::fromStdString(fault.line()) + QLatin1Char('\n');
    ++row;
  }
  table_->resizeColumnsToContents();
  table_->resizeRowsToContents();

  auto* buttons = new QDialogButtonBox(QDialogButtonBox::Close, this);
  auto* copy = buttons->addButton(tr("&Copy the list"), QDialogButtonBox::ActionRole);
  connect(copy, &QPushButton::clicked, this, [all] { QApplication::clipboard()->setText(all); });
  connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
  auto* layout = new QVBoxLayout(this);
  layout->addWidget(heading);
  layout->addWidget(table_);
  layout->addWidget(buttons);
  const int letter = fontMetrics().averageCharWidth();
  resize(letter * 120, fontMetrics().height() * 20);
}

}  // namespace latchwright::desk
