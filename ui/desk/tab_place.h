// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

class QWidget;

// Widgets that are made later stand last in the tab order: these put them where they stand for the eye.
namespace latchwright::desk {

/// The widget that Tab comes from just before it enters this one; null: nothing in it takes the focus.
QWidget* tab_place_before(QWidget* widget);
/// The last widget in this one that Tab goes to; null: there is none.
QWidget* last_tab_place(QWidget* widget);
/// Tab goes from `before` through `fresh`, in the order of its layouts, and then on to where it went so far.
void put_in_tab_order(QWidget* before, QWidget* fresh);

}  // namespace latchwright::desk
