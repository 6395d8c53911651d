// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/flat_table.h"

#include <QHeaderView>
#include <QWheelEvent>

#include "desk/table_copy.h"

namespace latchwright::desk {

FlatTable::FlatTable(const QStringList& headings, QWidget* parent)
    : QTableWidget(0, static_cast<int>(headings.size()), parent) {
  setHorizontalHeaderLabels(headings);
  for (int k = 0; k < columnCount(); ++k) {
    horizontalHeaderItem(k)->setTextAlignment(Qt::AlignLeft | Qt::AlignVCenter);
  }
  verticalHeader()->hide();
  horizontalHeader()->setSectionResizeMode(QHeaderView::ResizeToContents);
  horizontalHeader()->setSectionResizeMode(0, QHeaderView::Stretch);
  horizontalHeader()->setMinimumSectionSize(2 * fontMetrics().averageCharWidth());
  horizontalHeader()->setHighlightSections(false);
  setEditTriggers(QAbstractItemView::NoEditTriggers);
  setSelectionBehavior(QAbstractItemView::SelectRows);
  setSelectionMode(QAbstractItemView::SingleSelection);
  setTabKeyNavigation(false);
  setWordWrap(true);
  setTextElideMode(Qt::ElideNone);
  setShowGrid(false);
  setAlternatingRowColors(true);
  setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
  setVerticalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
  // It must not ask for more room than there is.
  setSizePolicy(QSizePolicy::Ignored, QSizePolicy::Fixed);
  make_copyable(this);
  // The header finds the widths of its columns later than their cells are filled.
  later_.setSingleShot(true);
  connect(&later_, &QTimer::timeout, this, &FlatTable::fit);
  connect(horizontalHeader(), &QHeaderView::sectionResized, this, [this] { later_.start(0); });
}

void FlatTable::setRow(int row, const QStringList& cells, const QString& tip) {
  if (row >= rowCount()) setRowCount(row + 1);
  for (int c = 0; c < columnCount(); ++c) {
    QTableWidgetItem* cell = item(row, c);
    if (cell == nullptr) setItem(row, c, cell = new QTableWidgetItem);
    cell->setText(c < cells.size() ? cells[c] : QString());
    cell->setToolTip(tip);
    cell->setTextAlignment(Qt::AlignLeft | Qt::AlignVCenter);
  }
}

void FlatTable::fit() {
  resizeRowsToContents();
  int height = horizontalHeader()->sizeHint().height() + 2 * frameWidth();
  for (int k = 0; k < rowCount(); ++k) height += rowHeight(k);
  if (height != minimumHeight() || height != maximumHeight()) setFixedHeight(height);
}

void FlatTable::resizeEvent(QResizeEvent* event) {
  QTableWidget::resizeEvent(event);
  if (event->size().width() != event->oldSize().width()) fit();
}

void FlatTable::wheelEvent(QWheelEvent* event) { event->ignore(); }

void FlatTable::changeEvent(QEvent* event) {
  QTableWidget::changeEvent(event);
  if (event->type() == QEvent::FontChange || event->type() == QEvent::StyleChange) fit();
}

}  // namespace latchwright::desk
