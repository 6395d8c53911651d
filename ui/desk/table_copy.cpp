// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/table_copy.h"

#include <QAbstractItemView>
#include <QAction>
#include <QClipboard>
#include <QCoreApplication>
#include <QGuiApplication>
#include <QHeaderView>
#include <QTableView>

namespace latchwright::desk {

namespace {

/// A cell in one line without tabs, so that the columns stay.
QString one_cell(const QVariant& value) {
  QString text = value.toString();
  for (QChar& each : text) {
    if (each == QLatin1Char('\t') || each == QLatin1Char('\n') || each == QLatin1Char('\r'))
      each = QLatin1Char(' ');
  }
  return text.trimmed();
}

}  // namespace

QString table_text(const QAbstractItemModel& model) {
  QString text;
  for (int row = -1; row < model.rowCount(); ++row) {
    for (int column = 0; column < model.columnCount(); ++column) {
      if (column > 0) text += QLatin1Char('\t');
      text += one_cell(row < 0 ? model.headerData(column, Qt::Horizontal) : model.index(row, column).data());
    }
    text += QLatin1Char('\n');
  }
  return text;
}

void make_copyable(QAbstractItemView* view) {
  auto* copy = new QAction(QCoreApplication::translate("latchwright::desk::Table", "Copy table"), view);
  copy->setShortcut(QKeySequence::Copy);
  copy->setShortcutContext(Qt::WidgetWithChildrenShortcut);
  QObject::connect(copy, &QAction::triggered, view,
                   [view] { QGuiApplication::clipboard()->setText(table_text(*view->model())); });
  view->addAction(copy);
  view->setContextMenuPolicy(Qt::ActionsContextMenu);
}

}  // namespace latchwright::desk
