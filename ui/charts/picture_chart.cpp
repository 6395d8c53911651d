// SPDX-License-Identifier: GPL-3.0-or-later
#include "charts/picture_chart.h"

#include <QCoreApplication>
#include <QFontMetricsF>
#include <QGraphicsLayout>
#include <QGraphicsSceneResizeEvent>
#include <QPainter>
#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "charts/palette.h"
#include "charts/shown_picture.h"

namespace latchwright::charts {

namespace {

constexpr double label_stripe = 3;
constexpr double edge = 14;  // between the picture's border and what is on it
// Between an axis and its numbers, as Qt Charts has it: sideways, below.
constexpr double number_gap = 6;
constexpr double number_drop = 5;
constexpr int wrapped = Qt::AlignLeft | Qt::AlignTop | Qt::TextWordWrap;

double distance(const QPointF& a, const QPointF& b) { return std::hypot(a.x() - b.x(), a.y() - b.y()); }

/// The point of a piece of a line nearest to another point, as a share of the way.
double nearest_share(const QPointF& from, const QPointF& to, const QPointF& point) {
  const QPointF way = to - from;
  const double length = QPointF::dotProduct(way, way);
  if (length == 0) return 0;
  return std::clamp(QPointF::dotProduct(point - from, way) / length, 0.0, 1.0);
}

}  // namespace

/// Draws over the chart what belongs to its picture and not to Qt Charts.
class PictureOverlay : public QGraphicsItem {
 public:
  explicit PictureOverlay(PictureChart& chart) : QGraphicsItem(&chart), chart_(chart) {
    setZValue(1000);
    setAcceptedMouseButtons(Qt::NoButton);
  }
  QRectF boundingRect() const override { return chart_.rect(); }
  void paint(QPainter* painter, const QStyleOptionGraphicsItem*, QWidget*) override { chart_.draw(*painter); }
  void sizeChanges() { prepareGeometryChange(); }

 private:
  PictureChart& chart_;
};

PictureChart::~PictureChart() = default;

QRectF PictureChart::textRect(const QString& text, const QFont& font, double top) const {
  const double width = std::max(20.0, size().width() - 2 * edge);
  if (text.isEmpty()) return {edge, top, width, 0};
  const QRectF bounds = QFontMetricsF(font).boundingRect(QRectF(0, 0, width, 1e5), wrapped, text);
  return {edge, top, width, std::ceil(bounds.height())};
}

void PictureChart::resizeEvent(QGraphicsSceneResizeEvent* event) {
  QChart::resizeEvent(event);
  if (overlay_ == nullptr) {
    auto* overlay = new PictureOverlay(*this);
    overlay_ = overlay;
    connect(this, &QChart::plotAreaChanged, this, [this] { placeLabels(); });
  }
  static_cast<PictureOverlay*>(overlay_)->sizeChanges();
  for (auto& mark : marks_) mark.in_legend = false;
  makeRoom();
  placeLabels();
}

void PictureChart::makeRoom() {
  legend_now_ = legend_;
  QStringList known;
  for (const auto& marks : picture_.marks) {
    const QString name = QString::fromStdString(marks.name);
    if (known.contains(name)) continue;
    known.push_back(name);
    QStringList labels;
    LegendEntry entry{{}, marks.hue, {}, marks.shape, false};
    for (const auto& mark : marks_) {
      if (mark.marks->name != marks.name || !mark.in_legend) continue;
      labels.push_back(mark.label);
      if (mark.marks->hue != marks.hue) entry.hue.reset();
    }
    if (labels.isEmpty()) continue;
    entry.name = labels.join(QCoreApplication::translate("charts", ", "));
    if (!name.isEmpty()) {
      entry.name = QCoreApplication::translate("charts", "%1: %2", "marks: their name, their labels")
                       .arg(name, entry.name);
    }
    legend_now_.push_back(entry);
  }
  title_rect_ = textRect(QString::fromStdString(picture_.title), title_font_, edge);
  condition_rect_ = textRect(QString::fromStdString(picture_.condition), font_, title_rect_.bottom() + 2);
  const double top = (condition_rect_.height() > 0 ? condition_rect_ : title_rect_).bottom() + 8;

  const double width = title_rect_.width();
  const QRectF note = textRect(QString::fromStdString(picture_.note), small_font_, 0);
  const double row = QFontMetricsF(font_).height() * 1.25;
  legend_layout_ = LegendLayout(legend_now_, font_, width, static_cast<int>(0.35 * size().height() / row));
  const double note_room = note.height() > 0 ? note.height() + 6 : 0;
  const double legend_room = legend_layout_.height() > 0 ? legend_layout_.height() + 6 : 0;
  note_rect_ = note.translated(0, size().height() - edge - note.height());
  legend_corner_ = {edge, size().height() - edge - note_room - legend_layout_.height()};
  double left = edge, bottom = edge + note_room + legend_room;
  const QFontMetricsF metrics(font_);
  for (const auto& word : picture_.up.words) {
    left = std::max(left, edge + metrics.horizontalAdvance(QString::fromStdString(word)));
  }
  left = std::min(left, 0.42 * size().width());
  if (!picture_.across.words.empty()) bottom += 2 * metrics.height();
  setMargins(QMargins(qRound(left), qRound(top), qRound(edge), qRound(bottom)));
  layout()->activate();
}

double PictureChart::leastHeight(double width) const {
  constexpr int most_rows = 12, plot_lines = 10, axis_lines = 3;
  const double inner = std::max(1.0, width - 2 * edge);
  const auto height_of = [&](const std::string& text, const QFont& font) {
    if (text.empty()) return 0.0;
    constexpr double endless = 1e5;
    return QFontMetricsF(font)
        .boundingRect(QRectF(0, 0, inner, endless), Qt::TextWordWrap, QString::fromStdString(text))
        .height();
  };
  const double words = height_of(picture_.title, title_font_) + height_of(picture_.condition, font_) +
                       height_of(picture_.note, small_font_);
  const double legend = LegendLayout(legend_, font_, inner, most_rows).height();
  const double lines = (plot_lines + axis_lines + 2.0 * (picture_.across.words.empty() ? 0 : 1)) *
                       QFontMetricsF(font_).height();
  constexpr double gaps = 2 * edge + 2 + 8 + 6 + 6;  // as in makeRoom
  return words + legend + lines + gaps;
}

void PictureChart::placeLabels() {
  const QRectF area = plotArea();
  if (empty_ || area.width() < 40 || area.height() < 40) return;
  Traffic traffic(area);
  for (const auto& drawn : lines_) {
    QList<QPointF> line;
    for (const auto& point : drawn.run) line.push_back(position(point, drawn.line->right));
    traffic.add(line);
  }
  for (const auto& edge_of_band : band_edges_) {
    QList<QPointF> line;
    for (const auto& point : edge_of_band) line.push_back(position(point, false));
    traffic.add(line);
  }
  for (const auto& limit : picture_.limits) {
    const QPointF low = limit.upright ? QPointF(limit.value, up_.low) : QPointF(across_.low, limit.value);
    const QPointF high = limit.upright ? QPointF(limit.value, up_.high) : QPointF(across_.high, limit.value);
    const bool right = limit.right && !limit.upright;
    traffic.add({position(low, right), position(high, right)});
  }
  const QFontMetricsF metrics(small_font_);
  std::vector<Label> labels;
  std::vector<QPointF> middles;
  std::vector<std::size_t> of_mark;
  for (std::size_t k = 0; k < marks_.size(); ++k) {
    marks_[k].place.reset();
    middles.push_back(position(marks_[k].value, marks_[k].marks->right));
    if (marks_[k].label.isEmpty() || marks_[k].in_legend) continue;
    labels.push_back({middles.back(), QSizeF(metrics.horizontalAdvance(marks_[k].label) + 4 + label_stripe,
                                             metrics.height())});
    of_mark.push_back(k);
  }
  const auto places = place_labels(area.adjusted(2, 2, -2, -2), labels, middles, mark_size, traffic);
  bool left_over = false;
  for (std::size_t k = 0; k < places.size(); ++k) {
    DrawnMark& mark = marks_[of_mark[k]];
    mark.place = places[k];
    if (!places[k]) mark.in_legend = left_over = true;
  }
  if (overlay_ != nullptr) overlay_->update();
  // A label once in the legend stays there until the size changes, so this ends.
  if (left_over) makeRoom();
}

std::vector<std::optional<QRectF>> PictureChart::labelPlaces() const {
  std::vector<std::optional<QRectF>> places;
  for (const auto& mark : marks_) {
    if (mark.label.isEmpty()) continue;
    places.push_back(mark.place ? std::optional(mark.place->rect) : std::nullopt);
  }
  return places;
}

QPointF PictureChart::position(const QPointF& value, bool right) const {
  const QRectF area = plotArea();
  const bool on_right = right && right_axis_ != nullptr;
  const QAbstractAxis* axis = on_right ? right_axis_ : up_axis_;
  const double up = (on_right ? right_ : up_).at(value.y());
  return {area.left() + across_.at(value.x()) * area.width(),
          axis->isReverse() ? area.top() + up * area.height() : area.bottom() - up * area.height()};
}

QPointF PictureChart::value(const QPointF& position, bool right) const {
  const QRectF area = plotArea();
  const bool on_right = right && right_axis_ != nullptr;
  const QAbstractAxis* axis = on_right ? right_axis_ : up_axis_;
  const double down = (position.y() - area.top()) / area.height();
  return {across_.value((position.x() - area.left()) / area.width()),
          (on_right ? right_ : up_).value(axis->isReverse() ? down : 1 - down)};
}

QString PictureChart::valuesText(const QString& name, const QPointF& value, bool right) const {
  const auto part = [](const report::Axis& axis, double number) {
    QString text = axis_value_text(axis, number);
    if (axis.title.empty() || text.isEmpty()) return text;
    return QCoreApplication::translate("charts", "%1: %2", "an axis, the value there")
        .arg(QString::fromStdString(axis.title), text);
  };
  const report::Axis& upright = right && picture_.right ? *picture_.right : picture_.up;
  QStringList lines{name, part(picture_.across, value.x()), part(upright, value.y())};
  lines.removeAll(QString());
  return lines.join(QLatin1Char('\n'));
}

QString PictureChart::textAt(const QPointF& point) const {
  if (empty_ || !plotArea().contains(point)) return {};
  constexpr double near = 12;
  double best = near;
  QString text;
  for (const auto& mark : marks_) {
    const double away = distance(position(mark.value, mark.marks->right), point);
    if (away >= best) continue;
    best = away;
    QStringList names{QString::fromStdString(mark.marks->name), mark.label};
    names.removeAll(QString());
    text = valuesText(names.join(QLatin1Char('\n')), mark.value, mark.marks->right);
  }
  if (!text.isEmpty()) return text;
  for (const auto& drawn : lines_) {
    const bool right = drawn.line->right;
    QPointF from = position(drawn.run.front(), right);
    for (qsizetype k = 1; k < drawn.run.size(); ++k) {
      const QPointF to = position(drawn.run[k], right);
      const QPointF on_line = from + nearest_share(from, to, point) * (to - from);
      if (distance(on_line, point) < best) {
        best = distance(on_line, point);
        text = valuesText(QString::fromStdString(drawn.line->name), value(on_line, right), right);
      }
      from = to;
    }
  }
  return text.isEmpty() ? valuesText({}, value(point, false), false) : text;
}

void PictureChart::draw(QPainter& painter) const {
  painter.save();
  drawWords(painter);
  if (!empty_) {
    drawNumbers(painter);
    drawAxisWords(painter);
    drawMarks(painter);
    legend_layout_.draw(painter, legend_corner_, style_.dark);
  }
  painter.restore();
}

void PictureChart::drawWords(QPainter& painter) const {
  const Ground colors = ground(style_.dark);
  const auto write = [&](const QRectF& rect, const QFont& font, const QColor& color,
                         const std::string& text) {
    if (text.empty()) return;
    painter.setFont(font);
    painter.setPen(color);
    painter.drawText(rect.adjusted(0, 0, 0, 4), wrapped, QString::fromStdString(text));
  };
  write(title_rect_, title_font_, colors.ink, picture_.title);
  write(condition_rect_, font_, colors.muted, picture_.condition);
  write(note_rect_, small_font_, colors.muted, picture_.note);
  if (!empty_) return;
  painter.setFont(font_);
  painter.setPen(colors.muted);
  painter.drawText(rect(), Qt::AlignCenter | Qt::TextWordWrap,
                   QCoreApplication::translate("charts", "There is nothing to draw."));
}

void PictureChart::drawMarks(QPainter& painter) const {
  const Ground colors = ground(style_.dark);
  QColor veil = colors.paper;
  veil.setAlphaF(0.75F);
  for (const auto& mark : marks_) {
    if (!mark.place || !mark.place->apart) continue;
    const QPointF middle = position(mark.value, mark.marks->right);
    const QRectF& rect = mark.place->rect;
    const QPointF near(std::clamp(middle.x(), rect.left(), rect.right()),
                       std::clamp(middle.y(), rect.top(), rect.bottom()));
    painter.setPen(QPen(colors.muted, 0.8));
    painter.drawLine(middle, near);
  }
  // A point alone between two gaps: a line of one point shows nothing.
  for (const auto& drawn : lines_) {
    if (drawn.run.size() > 1) continue;
    painter.setPen(Qt::NoPen);
    painter.setBrush(hue_color(drawn.line->hue, style_.dark));
    painter.drawEllipse(position(drawn.run.front(), drawn.line->right), line_width, line_width);
  }
  for (const auto& mark : marks_) {
    const QPointF middle = position(mark.value, mark.marks->right);
    draw_mark(painter, mark.marks->shape, middle, mark_size, hue_color(mark.marks->hue, style_.dark),
              colors.paper);
  }
  const bool several_hues = std::any_of(marks_.begin(), marks_.end(), [&](const auto& mark) {
    return mark.marks->hue != marks_[0].marks->hue;
  });
  painter.setFont(small_font_);
  for (const auto& mark : marks_) {
    if (!mark.place) continue;
    painter.fillRect(mark.place->rect, veil);
    // Whose label it is, where several marks stand close together.
    if (several_hues) {
      const QRectF& rect = mark.place->rect;
      painter.fillRect(QRectF(rect.left(), rect.top() + 2, label_stripe, rect.height() - 4),
                       hue_color(mark.marks->hue, style_.dark));
    }
    painter.setPen(colors.ink);
    painter.drawText(mark.place->rect.adjusted(label_stripe, 0, 0, 0), Qt::AlignCenter | Qt::TextSingleLine,
                     mark.label);
  }
}

void PictureChart::drawNumbers(QPainter& painter) const {
  const QRectF area = plotArea();
  const QFontMetricsF metrics(font_);
  painter.setFont(font_);
  painter.setPen(ground(style_.dark).muted);
  const auto decades = [](const Span& span) {
    QList<double> found;
    for (double d = std::pow(10, std::ceil(std::log10(span.low))); d <= span.high; d *= 10)
      found.push_back(d);
    return found;
  };
  const auto number = [](double value) { return QString::number(value, 'g', 12); };
  double free_from = -1e9;
  const QList<double> native = across_.logarithmic ? decades(across_) : QList<double>();
  for (const double value : numbers_between_decades(across_)) {
    const double middle = position({value, up_.low}, false).x();
    const QString text = number(value);
    const double half = metrics.horizontalAdvance(text) / 2 + 5;
    const bool meets = std::any_of(native.begin(), native.end(), [&](double decade) {
      const double reach = metrics.horizontalAdvance(number(decade)) / 2 + half;
      return std::abs(position({decade, up_.low}, false).x() - middle) < reach;
    });
    if (meets || middle - half < free_from) continue;
    free_from = middle + half;
    painter.drawText(QRectF(middle - half, area.bottom() + number_drop, 2 * half, metrics.height()),
                     Qt::AlignCenter, text);
  }
  const auto upright = [&](const Span& span, bool right) {
    const QList<double> ends = span.logarithmic ? decades(span) : QList<double>();
    double free_to = 1e9;
    for (const double value : numbers_between_decades(span)) {
      const double middle = position({across_.low, value}, right).y();
      const double reach = metrics.height() * 0.9;
      const bool meets = std::any_of(ends.begin(), ends.end(), [&](double decade) {
        return std::abs(position({across_.low, decade}, right).y() - middle) < reach;
      });
      if (meets || middle + reach / 2 > free_to) continue;
      free_to = middle - reach / 2;
      const double width = metrics.horizontalAdvance(number(value)) + 2;
      const double left = right ? area.right() + number_gap : area.left() - number_gap - width;
      painter.drawText(QRectF(left, middle - metrics.height() / 2, width, metrics.height()), Qt::AlignCenter,
                       number(value));
    }
  };
  upright(up_, false);
  if (right_axis_ != nullptr) upright(right_, true);
}

void PictureChart::drawAxisWords(QPainter& painter) const {
  const QRectF area = plotArea();
  painter.setPen(ground(style_.dark).ink);
  if (const auto& words = picture_.up.words; !words.empty()) {
    // Smaller where the rows are low, but never too small to read.
    constexpr int least_size = 8;
    const double row = area.height() / static_cast<double>(words.size());
    QFont font = font_;
    font.setPixelSize(std::clamp(static_cast<int>(row * 0.85), least_size, font_.pixelSize()));
    painter.setFont(font);
    const double width = area.left() - number_gap - edge / 2;
    for (std::size_t k = 0; k < words.size(); ++k) {
      const double middle = position({across_.low, static_cast<double>(k)}, false).y();
      painter.drawText(
          QRectF(edge / 2, middle - row / 2, width, row),
          Qt::AlignRight | Qt::AlignVCenter | Qt::TextSingleLine,
          QFontMetricsF(font).elidedText(QString::fromStdString(words[k]), Qt::ElideMiddle, width));
    }
  }
  if (const auto& words = picture_.across.words; !words.empty()) {
    painter.setFont(font_);
    const double width = area.width() / static_cast<double>(words.size());
    for (std::size_t k = 0; k < words.size(); ++k) {
      const double middle = position({static_cast<double>(k), up_.low}, false).x();
      const QRectF rect(middle - width / 2 + 2, area.bottom() + number_drop, width - 4,
                        2 * QFontMetricsF(font_).height());
      painter.drawText(rect, Qt::AlignHCenter | Qt::AlignTop | Qt::TextWordWrap,
                       QString::fromStdString(words[k]));
    }
  }
}

}  // namespace latchwright::charts
