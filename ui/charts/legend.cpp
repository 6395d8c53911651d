// SPDX-License-Identifier: GPL-3.0-or-later
#include "charts/legend.h"

#include <QCoreApplication>
#include <QFontMetricsF>
#include <QPainterPath>
#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "charts/shown_picture.h"

namespace latchwright::charts {

namespace {

constexpr double sample_width = 34;
constexpr double gap = 7;
constexpr double between_columns = 22;

LegendEntry& entry_of(std::vector<LegendEntry>& entries, const QString& name, std::size_t hue) {
  const auto known =
      std::find_if(entries.begin(), entries.end(), [&](const LegendEntry& e) { return e.name == name; });
  if (known == entries.end()) {
    entries.push_back({name, hue, {}, {}, false});
    return entries.back();
  }
  if (known->hue && *known->hue != hue) known->hue.reset();
  return *known;
}

/// "winding class: 120 °C, 130 °C"
QString limit_name(const report::Picture& picture, const std::string& name) {
  QStringList values;
  for (const auto& limit : picture.limits) {
    if (limit.name != name) continue;
    const report::Axis& axis = limit.upright                  ? picture.across
                               : limit.right && picture.right ? *picture.right
                                                              : picture.up;
    // A bare ratio such as 1 says nothing that its name does not.
    if (axis.unit.empty() || !axis.words.empty() || !std::isfinite(limit.value)) continue;
    const QString value = axis_value_text(axis, limit.value);
    if (!values.contains(value)) values.push_back(value);
  }
  QString text = QString::fromStdString(name);
  if (values.isEmpty() || values.size() > 3) return text;
  return QCoreApplication::translate("charts", "%1: %2", "a limit: its name, its value")
      .arg(text, values.join(QCoreApplication::translate("charts", ", ")));
}

std::vector<double> widths_of(const std::vector<LegendEntry>& entries, const QFontMetricsF& metrics) {
  std::vector<double> widths;
  for (const auto& entry : entries) {
    widths.push_back(std::ceil(sample_width + gap + metrics.horizontalAdvance(entry.name) + between_columns));
  }
  return widths;
}

/// The width of each column when that many entries stand in one.
std::vector<double> column_widths(const std::vector<double>& widths, std::size_t rows) {
  std::vector<double> columns;
  for (std::size_t k = 0; k < widths.size(); ++k) {
    if (k % rows == 0) columns.push_back(0);
    columns.back() = std::max(columns.back(), widths[k]);
  }
  return columns;
}

/// Keeps so many, the last of which says how many are missing.
void leave_out(std::vector<LegendEntry>& entries, std::size_t most) {
  if (entries.size() <= most) return;
  const auto missing = static_cast<int>(entries.size() - most + 1);
  entries.resize(most);
  entries.back() = {
      QCoreApplication::translate("charts", "and %n more", "names in a legend", missing), {}, {}, {}, false};
}

}  // namespace

std::vector<LegendEntry> legend_entries(const report::Picture& picture) {
  std::vector<LegendEntry> entries;
  for (const auto& band : picture.bands) {
    if (!band.name.empty()) entry_of(entries, QString::fromStdString(band.name), band.hue).band = true;
  }
  for (const auto& line : picture.lines) {
    if (line.name.empty()) continue;
    LegendEntry& entry = entry_of(entries, QString::fromStdString(line.name), line.hue);
    if (!entry.stroke) entry.stroke = line.stroke;
  }
  for (const auto& marks : picture.marks) {
    if (marks.name.empty()) continue;
    LegendEntry& entry = entry_of(entries, QString::fromStdString(marks.name), marks.hue);
    if (!entry.shape) entry.shape = marks.shape;
  }
  for (const auto& limit : picture.limits) {
    if (limit.name.empty()) continue;
    LegendEntry& entry = entry_of(entries, limit_name(picture, limit.name), limit.hue);
    if (!entry.stroke) entry.stroke = limit.stroke;
  }
  return entries;
}

QPainterPath mark_path(report::Shape shape, const QPointF& middle, double size) {
  const double r = size / 2;
  QPainterPath path;
  const auto polygon = [&](std::initializer_list<QPointF> corners) {
    QPolygonF outline;
    for (const auto& corner : corners) outline << middle + corner * r;
    path.addPolygon(outline);
    path.closeSubpath();
  };
  // Equal areas as the eye judges them.
  switch (shape) {
    case report::Shape::circle:
      path.addEllipse(middle, r, r);
      break;
    case report::Shape::square:
      polygon({{-0.9, -0.9}, {0.9, -0.9}, {0.9, 0.9}, {-0.9, 0.9}});
      break;
    case report::Shape::triangle:
      polygon({{0, -1.15}, {1.1, 0.85}, {-1.1, 0.85}});
      break;
    case report::Shape::diamond:
      polygon({{0, -1.25}, {1.25, 0}, {0, 1.25}, {-1.25, 0}});
      break;
    case report::Shape::cross: {
      constexpr double a = 1.15, b = 0.34;  // ends and thickness of the arms
      polygon({{-a, -a + b},
               {-a + b, -a},
               {0, -b},
               {a - b, -a},
               {a, -a + b},
               {b, 0},
               {a, a - b},
               {a - b, a},
               {0, b},
               {-a + b, a},
               {-a, a - b},
               {-b, 0}});
      break;
    }
  }
  return path;
}

void draw_mark(QPainter& painter, report::Shape shape, const QPointF& middle, double size,
               const QColor& color, const QColor& paper) {
  const QPainterPath path = mark_path(shape, middle, size);
  painter.setBrush(Qt::NoBrush);
  painter.setPen(QPen(paper, 3));
  painter.drawPath(path);
  painter.setBrush(color);
  painter.setPen(Qt::NoPen);
  painter.drawPath(path);
}

LegendLayout::LegendLayout(const std::vector<LegendEntry>& entries, const QFont& font, double width,
                           int most_rows)
    : entries_(entries), font_(font) {
  if (entries_.empty()) return;
  const QFontMetricsF metrics(font);
  row_height_ = std::ceil(metrics.height() * 1.25);
  const std::vector<double> widths = widths_of(entries_, metrics);
  rows_ = entries_.size();
  for (std::size_t rows = 1; rows < entries_.size(); ++rows) {
    const std::vector<double> tried = column_widths(widths, rows);
    if (std::accumulate(tried.begin(), tried.end(), -between_columns) > width) continue;
    rows_ = rows;
    break;
  }
  const auto room = static_cast<std::size_t>(std::max(1, most_rows));
  double widest = width;
  if (rows_ > room) {
    // Rather shorter names than names left out.
    constexpr double least_width = 130;
    std::size_t columns = (entries_.size() + room - 1) / room;
    while (columns > 1 && width / static_cast<double>(columns) < least_width) --columns;
    widest = width / static_cast<double>(columns) - between_columns;
    rows_ = std::min(room, (entries_.size() + columns - 1) / columns);
    leave_out(entries_, rows_ * columns);
  }
  for (auto& entry : entries_) {
    entry.name = metrics.elidedText(entry.name, Qt::ElideRight, std::max(40.0, widest - sample_width - gap));
  }
  columns_ = column_widths(widths_of(entries_, metrics), rows_);
}

double LegendLayout::height() const { return row_height_ * static_cast<double>(rows_); }

void LegendLayout::draw(QPainter& painter, const QPointF& corner, bool dark) const {
  const Ground colors = ground(dark);
  painter.setFont(font_);
  double left = corner.x();
  for (std::size_t k = 0; k < entries_.size(); ++k) {
    const LegendEntry& entry = entries_[k];
    // Down the columns: entries that belong together mostly follow each other.
    if (k > 0 && k % rows_ == 0) left += columns_[k / rows_ - 1];
    const QRectF row(left, corner.y() + row_height_ * static_cast<double>(k % rows_), columns_[k / rows_],
                     row_height_);
    const QColor color = entry.hue ? hue_color(*entry.hue, dark) : colors.muted;
    const double middle = row.center().y();
    if (entry.band) {
      QColor fill = color;
      fill.setAlphaF(band_opacity);
      painter.setBrush(fill);
      painter.setPen(QPen(color, 1));
      painter.drawRect(QRectF(row.x(), middle - row_height_ * 0.3, sample_width, row_height_ * 0.6));
    }
    if (entry.stroke) {
      painter.setPen(stroke_pen(*entry.stroke, color, line_width));
      painter.drawLine(QPointF(row.x(), middle), QPointF(row.x() + sample_width, middle));
    }
    if (entry.shape) {
      draw_mark(painter, *entry.shape, {row.x() + sample_width / 2, middle}, mark_size, color, colors.paper);
    }
    painter.setPen(colors.ink);
    painter.drawText(row.adjusted(sample_width + gap, 0, 0, 0),
                     Qt::AlignLeft | Qt::AlignVCenter | Qt::TextSingleLine, entry.name);
  }
}

}  // namespace latchwright::charts
