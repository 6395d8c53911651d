// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/link_button.h"

#include <QKeyEvent>
#include <QPainter>

namespace latchwright::desk {

QString kind_words(report::LinkKind kind) {
  switch (kind) {
    case report::LinkKind::battery:
      return LinkButton::tr("battery");
    case report::LinkKind::main_fuse:
      return LinkButton::tr("main fuse");
    case report::LinkKind::feed:
      return LinkButton::tr("feed");
    case report::LinkKind::relay:
      return LinkButton::tr("relay");
    case report::LinkKind::door_run:
      return LinkButton::tr("door run");
    case report::LinkKind::thermistor:
      return LinkButton::tr("thermistor");
    case report::LinkKind::motor:
      return LinkButton::tr("motor");
    case report::LinkKind::rod:
      break;
  }
  return LinkButton::tr("rod");
}

LinkButton::LinkButton(const report::Link& link, QWidget* parent) : QAbstractButton(parent), link_(link) {
  setCheckable(true);
  setCursor(Qt::PointingHandCursor);
  setFocusPolicy(Qt::ClickFocus);
}

void LinkButton::setFace(const LinkFace& face) {
  face_ = face;
  updateGeometry();
  update();
}

QFont LinkButton::smallFont() const {
  QFont small = font();
  if (font().pointSizeF() > 0) {
    small.setPointSizeF(font().pointSizeF() * 0.88);
  } else {
    small.setPixelSize(std::max(1, font().pixelSize() * 88 / 100));
  }
  return small;
}

QFont LinkButton::stateFont() const {
  QFont bold = font();
  bold.setBold(true);
  return bold;
}

int LinkButton::padding() const { return std::max(4, (fontMetrics().height() + 6) / 4); }

QSize LinkButton::sizeHint() const {
  const QFontMetrics small(smallFont()), state(stateFont());
  int width = small.horizontalAdvance(face_.kind + QStringLiteral("  ") + face_.part);
  if (!face_.state.isEmpty()) {
    width = std::max(width, state.horizontalAdvance(sign_of(face_.standing) + u' ' + face_.state.front()));
  }
  return {width + 4 * padding(), small.height() + state.height() + 2 * padding()};
}

QSize LinkButton::minimumSizeHint() const {
  return {fontMetrics().averageCharWidth() * 12, sizeHint().height()};
}

QString LinkButton::shownState() const {
  const QFontMetrics metrics(stateFont());
  const QString sign = sign_of(face_.standing);
  const int room = width() - 4 * padding();
  QString text;
  for (const QString& state : face_.state) {
    text = sign.isEmpty() ? state : QStringLiteral("%1 %2").arg(sign, state);
    if (metrics.horizontalAdvance(text) <= room) return text;
  }
  return metrics.elidedText(text, Qt::ElideRight, room);
}

void LinkButton::paintEvent(QPaintEvent*) {
  const Theme theme = theme_of(palette());
  StandingLook look = look_of(face_.standing, theme);
  if (face_.greyed) look = greyed(look, theme);
  QPainter painter(this);
  painter.setRenderHint(QPainter::Antialiasing);

  const bool dark = theme == Theme::dark;
  const qreal radius = padding();
  QRectF body(rect());
  if (isChecked()) {
    // A ring with the window between it and the body stands out from every state's colour.
    const qreal ring = std::max(2.0, padding() * 0.5);
    painter.setPen(QPen(palette().color(QPalette::Highlight), ring));
    painter.setBrush(palette().color(QPalette::Base));
    painter.drawRoundedRect(body.adjusted(ring / 2, ring / 2, -ring / 2, -ring / 2), radius, radius);
    body.adjust(ring + 1, ring + 1, -ring - 1, -ring - 1);
  }
  QPen edge(look.edge, 1.2);
  if (face_.standing == Standing::not_chosen) edge.setStyle(Qt::DashLine);
  painter.setPen(edge);
  const bool lit = underMouse() && isEnabled() && !isDown();
  painter.setBrush(lit ? look.background.lighter(dark ? 115 : 103) : look.background);
  painter.drawRoundedRect(body.adjusted(0.6, 0.6, -0.6, -0.6), radius * 0.8, radius * 0.8);
  if (hasFocus()) {
    painter.setBrush(Qt::NoBrush);
    painter.setPen(QPen(look.text, 1.4, Qt::DotLine));
    painter.drawRoundedRect(body.adjusted(1.3, 1.3, -1.3, -1.3), radius * 0.6, radius * 0.6);
  }

  const QFontMetrics small(smallFont()), state(stateFont());
  const QRect inside = rect().adjusted(2 * padding(), padding(), -2 * padding(), -padding());
  painter.setPen(look.text);
  painter.setFont(smallFont());
  const QString gap = QStringLiteral("  ");
  const QString first = face_.part.isEmpty() ? face_.kind : face_.kind + gap + face_.part;
  painter.drawText(QRect(inside.left(), inside.top(), inside.width(), small.height()),
                   Qt::AlignLeft | Qt::AlignVCenter, small.elidedText(first, Qt::ElideRight, inside.width()));
  painter.setFont(stateFont());
  painter.drawText(QRect(inside.left(), inside.top() + small.height(), inside.width(), state.height()),
                   Qt::AlignLeft | Qt::AlignVCenter, shownState());
}

void LinkButton::keyPressEvent(QKeyEvent* event) {
  switch (event->key()) {
    case Qt::Key_Return:
    case Qt::Key_Enter:
      click();
      return;
    case Qt::Key_Left:
    case Qt::Key_Right:
    case Qt::Key_Up:
    case Qt::Key_Down:
      // The run walks; a button alone would jump to any neighbour.
      event->ignore();
      return;
    default:
      QAbstractButton::keyPressEvent(event);
  }
}

void LinkButton::enterEvent(QEnterEvent* event) {
  QAbstractButton::enterEvent(event);
  update();
}

void LinkButton::leaveEvent(QEvent* event) {
  QAbstractButton::leaveEvent(event);
  update();
}

}  // namespace latchwright::desk
