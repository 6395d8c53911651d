// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/tab_place.h"

#include <QLayout>
#include <QScrollArea>
#include <QWidget>
#include <vector>

namespace latchwright::desk {

namespace {

void collect(QWidget* widget, std::vector<QWidget*>& found);

void collect(QLayout* layout, std::vector<QWidget*>& found) {
  for (int k = 0; k < layout->count(); ++k) {
    QLayoutItem* item = layout->itemAt(k);
    if (QWidget* widget = item->widget()) collect(widget, found);
    if (QLayout* inner = item->layout()) collect(inner, found);
  }
}

void collect(QWidget* widget, std::vector<QWidget*>& found) {
  const bool takes_tab = (widget->focusPolicy() & Qt::TabFocus) != 0 && widget->focusProxy() == nullptr;
  if (takes_tab) found.push_back(widget);
  if (const auto* area = qobject_cast<QScrollArea*>(widget); area && area->widget()) {
    collect(area->widget(), found);
  } else if (widget->layout() != nullptr) {
    collect(widget->layout(), found);
  }
}

}  // namespace

QWidget* tab_place_before(QWidget* widget) {
  std::vector<QWidget*> inside;
  collect(widget, inside);
  if (inside.empty()) return nullptr;
  // Where a container stands in the chain says nothing: only what takes the focus is put in order.
  QWidget* const first = inside.front();
  QWidget* place = first->previousInFocusChain();
  while (place != first && (widget->isAncestorOf(place) || (place->focusPolicy() & Qt::TabFocus) == 0)) {
    place = place->previousInFocusChain();
  }
  return place == first ? nullptr : place;
}

QWidget* last_tab_place(QWidget* widget) {
  std::vector<QWidget*> inside;
  collect(widget, inside);
  return inside.empty() ? nullptr : inside.back();
}

void put_in_tab_order(QWidget* before, QWidget* fresh) {
  if (before == nullptr) return;
  std::vector<QWidget*> found;
  collect(fresh, found);
  for (QWidget* each : found) {
    QWidget::setTabOrder(before, each);
    before = each;
  }
}

}  // namespace latchwright::desk
