// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QString>

class QAbstractItemModel;
class QAbstractItemView;

namespace latchwright::desk {

/// A table as text for a spreadsheet: a line of headings, tabs between cells, one line a row.
QString table_text(const QAbstractItemModel& model);

/// Ctrl+C and the context menu's "Copy table" put the view's whole table on the clipboard.
void make_copyable(QAbstractItemView* view);

}  // namespace latchwright::desk
