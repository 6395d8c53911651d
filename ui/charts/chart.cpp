// SPDX-License-Identifier: GPL-3.0-or-later
#include "charts/chart.h"

#include <QGraphicsLayout>
#include <QGuiApplication>
#include <QtCharts/QAreaSeries>
#include <QtCharts/QCategoryAxis>
#include <QtCharts/QLegend>
#include <QtCharts/QLineSeries>
#include <QtCharts/QLogValueAxis>
#include <QtCharts/QScatterSeries>
#include <QtCharts/QValueAxis>
#include <algorithm>
#include <cmath>

#include "charts/palette.h"
#include "charts/picture_chart.h"
#include "charts/shown_picture.h"

namespace latchwright::charts {

namespace {

/// Columns into which a line is thinned: no more can be told apart on paper or on most screens.
constexpr int columns = 1280;

struct Extents {
  Extent drawn, marks;
};
struct AllExtents {
  Extents across, up, right;
};

void take(Extent& extent, const std::vector<double>& values, bool logarithmic) {
  for (const double value : values) {
    if (drawable(value, logarithmic)) extent.take(value);
  }
}

/// Points count only where both their values can be shown.
void take(Extent& across, Extent& up, const std::vector<double>& x, const std::vector<double>& y, bool log_x,
          bool log_y) {
  for (std::size_t k = 0; k < std::min(x.size(), y.size()); ++k) {
    if (!drawable(x[k], log_x) || !drawable(y[k], log_y)) continue;
    across.take(x[k]);
    up.take(y[k]);
  }
}

AllExtents extents(const report::Picture& picture) {
  AllExtents all;
  const bool log_x = picture.across.logarithmic;
  const auto log_y = [&](bool right) {
    return right && picture.right ? picture.right->logarithmic : picture.up.logarithmic;
  };
  const auto side = [&](bool right) -> Extents& { return right && picture.right ? all.right : all.up; };
  for (const auto& line : picture.lines) {
    take(all.across.drawn, side(line.right).drawn, line.x, line.y, log_x, log_y(line.right));
  }
  for (const auto& marks : picture.marks) {
    take(all.across.marks, side(marks.right).marks, marks.x, marks.y, log_x, log_y(marks.right));
  }
  for (const auto& band : picture.bands) {
    take(all.across.drawn, all.up.drawn, band.lower_x, band.lower_y, log_x, log_y(false));
    take(all.across.drawn, all.up.drawn, band.upper_x, band.upper_y, log_x, log_y(false));
  }
  // A limit is not told from an axis at whose end it lies.
  for (const auto& limit : picture.limits) {
    if (limit.upright) {
      take(all.across.marks, {limit.value}, log_x);
    } else {
      take(side(limit.right).marks, {limit.value}, log_y(limit.right));
    }
  }
  return all;
}

/// Whether there is a point to draw; limits alone are no picture.
bool has_points(const report::Picture& picture) {
  report::Picture without_limits;
  without_limits.across = picture.across;
  without_limits.up = picture.up;
  without_limits.right = picture.right;
  without_limits.lines = picture.lines;
  without_limits.marks = picture.marks;
  without_limits.bands = picture.bands;
  const AllExtents all = extents(without_limits);
  return !all.across.drawn.empty() || !all.across.marks.empty();
}

QAbstractAxis* make_axis(const report::Axis& axis, const Scale& scale) {
  const Span& span = scale.span;
  if (!axis.words.empty()) {
    auto* words = new QCategoryAxis;
    words->setLabelsPosition(QCategoryAxis::AxisLabelsPositionOnValue);
    words->setStartValue(span.low);
    for (std::size_t k = 0; k < axis.words.size(); ++k) {
      // Two equal words are two places all the same, but Qt takes each label once: blanks that nobody sees.
      QString word = QString::fromStdString(axis.words[k]);
      while (words->categoriesLabels().contains(word)) word += QChar(0x200B);
      words->append(word, static_cast<double>(k));
    }
    words->setRange(span.low, span.high);
    return words;
  }
  if (axis.logarithmic) {
    auto* logarithmic = new QLogValueAxis;
    logarithmic->setBase(10);
    logarithmic->setLabelFormat(QStringLiteral("%.12g"));
    logarithmic->setMinorTickCount(8);
    logarithmic->setRange(span.low, span.high);
    return logarithmic;
  }
  auto* linear = new QValueAxis;
  linear->setLabelFormat(QStringLiteral("%.%1f").arg(scale.decimals));
  linear->setRange(span.low, span.high);
  const double steps = (span.high - span.low) / scale.step, first = span.low / scale.step;
  if (std::abs(steps - std::round(steps)) < 1e-6 && std::abs(first - std::round(first)) < 1e-6) {
    linear->setTickCount(static_cast<int>(std::round(steps)) + 1);
  } else {
    linear->setTickType(QValueAxis::TicksDynamic);
    linear->setTickAnchor(std::ceil(first - 1e-6) * scale.step);
    linear->setTickInterval(scale.step);
  }
  return linear;
}

void dress_axis(QAbstractAxis& axis, const report::Axis& picture_axis, const Ground& colors,
                const QFont& font) {
  axis.setTitleText(axis_title(picture_axis));
  axis.setTitleFont(font);
  axis.setTitleBrush(colors.ink);
  axis.setLabelsFont(font);
  axis.setLabelsColor(colors.muted);
  axis.setTruncateLabels(false);
  // Words need more care than Qt Charts gives them: the chart writes them itself, in place of a title.
  axis.setLabelsVisible(picture_axis.words.empty());
  axis.setTitleVisible(picture_axis.words.empty());
  axis.setLinePen(QPen(colors.muted, 1));
  axis.setGridLinePen(QPen(colors.grid, 1));
  axis.setMinorGridLinePen(QPen(colors.fine_grid, 1));
}

}  // namespace

PictureChart::PictureChart(const report::Picture& picture, const Style& style, const QFont& font)
    : picture_(shown_picture(picture, style.units)), style_(style), font_(font) {
  title_font_ = font_;
  title_font_.setPixelSize(qRound(font_.pixelSize() * 1.25));
  title_font_.setBold(true);
  small_font_ = font_;
  small_font_.setPixelSize(qRound(font_.pixelSize() * 0.95));
  setObjectName(QString::fromStdString(picture.key));
  setAnimationOptions(NoAnimation);
  setBackgroundRoundness(0);
  setBackgroundPen(Qt::NoPen);
  setBackgroundBrush(ground(style_.dark).paper);
  legend()->hide();
  layout()->setContentsMargins(0, 0, 0, 0);

  empty_ = !has_points(picture_);
  if (empty_) return;
  const AllExtents all = extents(picture_);
  const Scale across = make_scale(picture_.across, all.across.drawn, all.across.marks, true);
  const Scale up = make_scale(picture_.up, all.up.drawn, all.up.marks, false);
  Scale right;
  if (picture_.right) right = make_scale(*picture_.right, all.right.drawn, all.right.marks, false);
  addAxes(across, up, right);
  addAllSeries();
  legend_ = legend_entries(drawnNames());
  legend_now_ = legend_;
}

report::Picture PictureChart::drawnNames() const {
  report::Picture names;
  names.across = picture_.across;
  names.up = picture_.up;
  names.right = picture_.right;
  for (const auto& line : picture_.lines) {
    const bool drawn =
        std::any_of(lines_.begin(), lines_.end(), [&](const auto& one) { return one.line == &line; });
    if (drawn) names.lines.push_back({line.name, {}, {}, line.hue, line.stroke, line.right});
  }
  for (const auto& marks : picture_.marks) {
    const bool drawn =
        std::any_of(marks_.begin(), marks_.end(), [&](const auto& one) { return one.marks == &marks; });
    if (drawn) names.marks.push_back({marks.name, {}, {}, {}, marks.hue, marks.shape, marks.right});
  }
  for (const auto& band : picture_.bands) {
    const auto all = series();
    const bool drawn = std::any_of(all.begin(), all.end(), [&](const QAbstractSeries* one) {
      return one->type() == QAbstractSeries::SeriesTypeArea &&
             one->name() == QString::fromStdString(band.name);
    });
    if (drawn) names.bands.push_back({band.name, {}, {}, {}, {}, band.hue});
  }
  for (const auto& limit : picture_.limits) {
    if (spanOf(limit).holds(limit.value)) names.limits.push_back(limit);
  }
  return names;
}

const Span& PictureChart::spanOf(const report::PictureLimit& limit) const {
  if (limit.upright) return across_;
  return limit.right && right_axis_ != nullptr ? right_ : up_;
}

void PictureChart::addAxes(const Scale& across, const Scale& up, const Scale& right) {
  across_ = across.span;
  up_ = up.span;
  right_ = right.span;
  const Ground colors = ground(style_.dark);
  across_axis_ = make_axis(picture_.across, across);
  dress_axis(*across_axis_, picture_.across, colors, font_);
  addAxis(across_axis_, Qt::AlignBottom);
  up_axis_ = make_axis(picture_.up, up);
  dress_axis(*up_axis_, picture_.up, colors, font_);
  // Words are read from the top.
  up_axis_->setReverse(!picture_.up.words.empty());
  addAxis(up_axis_, Qt::AlignLeft);
  if (!picture_.right) return;
  right_axis_ = make_axis(*picture_.right, right);
  dress_axis(*right_axis_, *picture_.right, colors, font_);
  right_axis_->setReverse(!picture_.right->words.empty());
  // One grid is enough; the left axis' one.
  right_axis_->setGridLineVisible(false);
  right_axis_->setMinorGridLineVisible(false);
  addAxis(right_axis_, Qt::AlignRight);
}

void PictureChart::attach(QAbstractSeries& series, bool right) {
  addSeries(&series);
  series.attachAxis(across_axis_);
  series.attachAxis(right && right_axis_ != nullptr ? right_axis_ : up_axis_);
}

void PictureChart::addAllSeries() {
  addBands();
  addLimits();
  addLines();
  addMarks();
}

void PictureChart::addBands() {
  for (const auto& band : picture_.bands) {
    const auto edge = [&](const std::vector<double>& x, const std::vector<double>& y) {
      Run whole;  // a band has no gaps: what cannot be shown is left out
      for (const auto& run : split_at_gaps(x, y, across_.logarithmic, up_.logarithmic)) whole += run;
      return hold_in_range(thin_out(whole, across_, up_, columns), across_, up_);
    };
    const Run lower = edge(band.lower_x, band.lower_y), upper = edge(band.upper_x, band.upper_y);
    if (lower.isEmpty() || upper.isEmpty()) continue;
    auto* area = new QAreaSeries;
    auto* top = new QLineSeries(area);
    auto* bottom = new QLineSeries(area);
    top->replace(upper);
    bottom->replace(lower);
    area->setUpperSeries(top);
    area->setLowerSeries(bottom);
    area->setName(QString::fromStdString(band.name));
    const QColor color = hue_color(band.hue, style_.dark);
    QColor fill = color;
    fill.setAlphaF(band_opacity);
    area->setPen(QPen(color, 1));
    area->setBrush(fill);
    attach(*area, false);
    band_edges_.push_back(lower);
    band_edges_.push_back(upper);
  }
}

void PictureChart::addLimits() {
  for (const auto& limit : picture_.limits) {
    if (!spanOf(limit).holds(limit.value)) continue;
    auto* line = new QLineSeries;
    line->setName(QString::fromStdString(limit.name));
    if (limit.upright) {
      line->append(limit.value, up_.low);
      line->append(limit.value, up_.high);
    } else {
      line->append(across_.low, limit.value);
      line->append(across_.high, limit.value);
    }
    line->setPen(stroke_pen(limit.stroke, hue_color(limit.hue, style_.dark), line_width * 0.8));
    attach(*line, limit.right && !limit.upright);
  }
}

void PictureChart::addLines() {
  for (const auto& line : picture_.lines) {
    const bool right = line.right && right_axis_ != nullptr;
    const Span& up = right ? right_ : up_;
    for (const auto& run : split_at_gaps(line.x, line.y, across_.logarithmic, up.logarithmic)) {
      for (const auto& piece : cut_to_range(thin_out(run, across_, up, columns), across_, up)) {
        auto* series = new QLineSeries;
        series->setName(QString::fromStdString(line.name));
        series->replace(piece);
        series->setPen(stroke_pen(line.stroke, hue_color(line.hue, style_.dark), line_width));
        attach(*series, right);
        lines_.push_back({&line, piece});
      }
    }
  }
}

void PictureChart::addMarks() {
  for (const auto& marks : picture_.marks) {
    const bool right = marks.right && right_axis_ != nullptr;
    const Span& up = right ? right_ : up_;
    auto* series = new QScatterSeries;
    series->setName(QString::fromStdString(marks.name));
    // Qt Charts has no cross; all shapes are drawn by the chart itself, so that legend and picture agree.
    series->setVisible(false);
    for (std::size_t k = 0; k < std::min(marks.x.size(), marks.y.size()); ++k) {
      const bool shown = drawable(marks.x[k], across_.logarithmic) && drawable(marks.y[k], up.logarithmic) &&
                         across_.holds(marks.x[k]) && up.holds(marks.y[k]);
      if (!shown) continue;
      const QPointF value(marks.x[k], marks.y[k]);
      series->append(value);
      const QString label = k < marks.labels.size() ? QString::fromStdString(marks.labels[k]) : QString();
      marks_.push_back({&marks, value, label, std::nullopt, false});
    }
    attach(*series, right);
  }
}

std::unique_ptr<PictureChart> make_picture_chart(const report::Picture& picture, const Style& style,
                                                 const QFont& font) {
  return std::make_unique<PictureChart>(picture, style, font);
}

std::unique_ptr<QChart> make_chart(const report::Picture& picture, const Style& style) {
  // Sizes in pixels: a picture keeps its looks when it is scaled or printed.
  QFont font = QGuiApplication::font();
  font.setPixelSize(QFontInfo(font).pixelSize());
  return make_picture_chart(picture, style, font);
}

}  // namespace latchwright::charts
