// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/wrapped_text.h"

#include <QHelpEvent>
#include <QKeyEvent>
#include <QPainter>
#include <QTextLayout>
#include <QToolTip>

#include "desk/row_words.h"

namespace latchwright::desk {

WrappedText::WrappedText(int most_lines, QWidget* parent) : QAbstractButton(parent), most_lines_(most_lines) {
  QSizePolicy policy(QSizePolicy::Maximum, QSizePolicy::Preferred);
  policy.setHeightForWidth(true);
  setSizePolicy(policy);
  setPressable(false);
}

void WrappedText::say(const QString& text, const QString& tip) {
  if (text == said_ && tip == tip_) return;
  said_ = text;
  tip_ = tip;
  // QAbstractButton would take an ampersand for a shortcut.
  setText(QString(text).replace(u'&', QStringLiteral("&&")));
  setShortcut({});
  setAccessibleName(QString(text).replace(u'\n', QStringLiteral(", ")));
  setAccessibleDescription(tip);
  updateGeometry();
  update();
}

void WrappedText::setStanding(std::optional<Standing> standing, bool is_greyed) {
  standing_ = standing;
  is_greyed_ = is_greyed;
  updateGeometry();
  update();
}

void WrappedText::setPressable(bool pressable) {
  is_pressable_ = pressable;
  setFocusPolicy(pressable ? Qt::StrongFocus : Qt::NoFocus);
  if (pressable) {
    setCursor(Qt::PointingHandCursor);
  } else {
    unsetCursor();
  }
}

void WrappedText::setFaint(bool faint) {
  is_faint_ = faint;
  update();
}

void WrappedText::setSteady(bool steady) {
  is_steady_ = steady;
  updateGeometry();
}

int WrappedText::padding() const { return std::max(3, fontMetrics().height() / 4); }

QStringList WrappedText::linesAt(int width) const {
  const int room = std::max(1, width - (standing_ ? 4 * padding() : 0));
  QStringList lines;
  if (said_.contains(u'\n')) {
    for (const QString& line : said_.split(u'\n').mid(0, most_lines_)) {
      lines << fontMetrics().elidedText(line, Qt::ElideRight, room);
    }
    return lines;
  }
  QTextLayout layout(said_, font());
  QTextOption option;
  option.setWrapMode(QTextOption::WrapAtWordBoundaryOrAnywhere);
  layout.setTextOption(option);
  layout.beginLayout();
  for (QTextLine line = layout.createLine(); line.isValid(); line = layout.createLine()) {
    line.setLineWidth(room);
    if (lines.size() + 1 == most_lines_) {
      lines << fontMetrics().elidedText(said_.mid(line.textStart()), Qt::ElideRight, room);
      break;
    }
    lines << said_.mid(line.textStart(), line.textLength()).trimmed();
  }
  layout.endLayout();
  return lines;
}

int WrappedText::textWidth() const {
  int widest = 0;
  for (const QString& line : linesAt(width()))
    widest = std::max(widest, fontMetrics().horizontalAdvance(line));
  return widest;
}

QSize WrappedText::sizeHint() const {
  const int wide = fontMetrics().size(0, said_).width() + (standing_ ? 4 * padding() : 0) + 2;
  const int width = std::min(wide, fontMetrics().averageCharWidth() * 200);
  return {width, heightForWidth(width)};
}

QSize WrappedText::minimumSizeHint() const {
  const int em = fontMetrics().averageCharWidth();
  int width = 16 * em;
  if (is_steady_) {
    // Beside others of its kind: a short one keeps what its lines need, a long one gives way.
    const int wide = fontMetrics().size(0, said_).width();
    const bool has_lines = said_.contains(u'\n');
    width = std::clamp(has_lines ? wide + 2 : wide / most_lines_ + 8 * em, 8 * em, 36 * em);
  }
  const int lines = is_steady_ ? most_lines_ : 1;
  return {width, lines * fontMetrics().height() + (standing_ ? 2 * padding() : 2)};
}

int WrappedText::heightForWidth(int width) const {
  const auto lines = is_steady_ ? most_lines_ : std::max<qsizetype>(1, linesAt(width).size());
  return static_cast<int>(lines) * fontMetrics().height() + (standing_ ? 2 * padding() : 2);
}

bool WrappedText::event(QEvent* event) {
  if (event->type() == QEvent::ToolTip) {
    const QString cut =
        linesAt(width()).join(u' ') == QString(said_).replace(u'\n', u' ') ? QString() : said_;
    const QString tip = tip_.isEmpty() ? cut : tip_;
    const QPoint at = static_cast<QHelpEvent*>(event)->globalPos();
    if (tip.isEmpty()) {
      QToolTip::hideText();
    } else {
      QToolTip::showText(at, tip_text(tip), this);
    }
    return true;
  }
  if (event->type() == QEvent::HoverEnter || event->type() == QEvent::HoverLeave) update();
  if (!is_pressable_ &&
      (event->type() == QEvent::MouseButtonPress || event->type() == QEvent::MouseButtonRelease)) {
    event->ignore();
    return true;
  }
  return QAbstractButton::event(event);
}

void WrappedText::keyPressEvent(QKeyEvent* event) {
  if (event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter) {
    click();
    return;
  }
  QAbstractButton::keyPressEvent(event);
}

void WrappedText::paintEvent(QPaintEvent*) {
  QPainter painter(this);
  painter.setRenderHint(QPainter::Antialiasing);
  QColor colour = palette().color(is_faint_ ? QPalette::PlaceholderText : QPalette::WindowText);
  QRect inside = rect();
  if (standing_) {
    const Theme theme = theme_of(palette());
    StandingLook look = look_of(*standing_, theme);
    if (is_greyed_) look = greyed(look, theme);
    painter.setPen(QPen(look.edge, 1.2));
    painter.setBrush(look.background);
    painter.drawRoundedRect(QRectF(rect()).adjusted(0.6, 0.6, -0.6, -0.6), padding(), padding());
    colour = look.text;
    inside.adjust(2 * padding(), padding(), -2 * padding(), -padding());
  }
  if (hasFocus()) {
    painter.setBrush(Qt::NoBrush);
    painter.setPen(QPen(colour, 1.4, Qt::DotLine));
    painter.drawRoundedRect(QRectF(rect()).adjusted(2.4, 2.4, -2.4, -2.4), padding() / 2.0, padding() / 2.0);
  }
  QFont shown = font();
  shown.setUnderline(is_pressable_ && underMouse());
  painter.setFont(shown);
  painter.setPen(colour);
  const QStringList lines = linesAt(width());
  const int line = fontMetrics().height();
  int y = inside.top() + (inside.height() - line * static_cast<int>(lines.size())) / 2;
  for (const QString& text : lines) {
    painter.drawText(QRect(inside.left(), y, inside.width(), line), Qt::AlignLeft | Qt::AlignVCenter, text);
    y += line;
  }
}

}  // namespace latchwright::desk
