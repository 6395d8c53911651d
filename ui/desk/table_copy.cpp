// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/table_copy.h"

#include <QAbstractItemView>
#include <QAction>
#include <QClipboard>
#include <QCoreApplication>
#include <QGuiApplication>
#include <QHeaderView>
#include <QRegularExpression>
#include <QTableView>

#include "report/trace_csv.h"

namespace latchwright::desk {

namespace {

/// "-12.5", "-12.5 °C", a bare "-": begins like a formula and is none.
bool is_figure(const QString& text) {
  static const QRegularExpression figure(QStringLiteral("^[+-]([0-9.]+(e[+-]?[0-9]+)?)?( [^=|!()&\"']*)?$"));
  return figure.match(text).hasMatch();
}

/// A cell in one line without tabs, so that the columns stay, and no formula where it is pasted into a
/// spreadsheet.
QString one_cell(const QVariant& value) {
  QString text = value.toString();
  for (QChar& each : text) {
    if (each == QLatin1Char('\t') || each == QLatin1Char('\n') || each == QLatin1Char('\r'))
      each = QLatin1Char(' ');
  }
  text = text.trimmed();
  if (report::begins_formula(text.toStdString()) && !is_figure(text)) text.prepend(QLatin1Char('\''));
  return text;
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
