// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/door_rows.h"

#include <QPainter>

namespace latchwright::desk {

QPen wire_pen(const QWidget& widget) {
  const bool dark = theme_of(widget.palette()) == Theme::dark;
  return {widget.palette().color(dark ? QPalette::PlaceholderText : QPalette::Dark),
          std::max(2.0, widget.fontMetrics().height() / 7.0), Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin};
}

DoorRows::DoorRows(QWidget* parent) : QWidget(parent) {}

void DoorRows::setDoors(const QStringList& names) {
  for (WrappedText* name : names_) delete name;
  names_.clear();
  for (const QString& name : names) {
    names_.push_back(new WrappedText(2, this));
    names_.back()->say(name);
    names_.back()->setAccessibleName(tr("door: %1").arg(name));
    names_.back()->show();
  }
}

void DoorRows::arrange(const Places& places) {
  places_ = places;
  for (std::size_t door = 0; door < names_.size(); ++door) {
    const int y = static_cast<int>(door) * (places.row + places.between);
    names_[door]->setGeometry(places.name, y, places.name_width, places.row);
    for (std::size_t k = 0; k < 4 && 4 * door + k < links_.size(); ++k) {
      links_[4 * door + k]->setGeometry(places.links + static_cast<int>(k) * (places.link_width + places.gap),
                                        y, places.link_width, places.row);
    }
  }
  update();
}

void DoorRows::setEntry(int entry) {
  places_.entry = entry;
  update();
}

void DoorRows::paintEvent(QPaintEvent*) {
  if (names_.empty()) return;
  QPainter painter(this);
  painter.setRenderHint(QPainter::Antialiasing);
  const QPen pen = wire_pen(*this);
  painter.setPen(pen);
  const auto middle = [&](std::size_t door) {
    return static_cast<int>(door) * (places_.row + places_.between) + places_.row / 2;
  };
  const int last = middle(names_.size() - 1);
  const int top = places_.entry < 0 ? 0 : std::min(places_.entry, middle(0));
  painter.drawLine(places_.bus, top, places_.bus, std::max(last, places_.entry));
  if (places_.entry >= 0) painter.drawLine(0, places_.entry, places_.bus, places_.entry);
  const int blank = places_.gap / 2;
  for (std::size_t door = 0; door < names_.size(); ++door) {
    const int y = middle(door);
    painter.drawLine(places_.bus, y, places_.name - blank, y);
    const int name_end = places_.name + names_[door]->textWidth() + blank;
    if (name_end < places_.links) painter.drawLine(name_end, y, places_.links, y);
    for (int k = 1; k < 4; ++k) {
      const int x = places_.links + k * (places_.link_width + places_.gap);
      painter.drawLine(x - places_.gap, y, x, y);
    }
  }
  // The wire branches where a dot is: at every door but the last, and where the feed comes in.
  painter.setBrush(pen.color());
  painter.setPen(Qt::NoPen);
  const qreal dot = pen.widthF() * 1.4;
  for (std::size_t door = 0; door + 1 < names_.size(); ++door) {
    painter.drawEllipse(QPointF(places_.bus, middle(door)), dot, dot);
  }
  if (places_.entry >= 0 && names_.size() > 1) {
    painter.drawEllipse(QPointF(places_.bus, places_.entry), dot, dot);
  }
}

}  // namespace latchwright::desk
