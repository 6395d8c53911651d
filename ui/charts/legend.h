// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QFont>
#include <QPainter>
#include <QPainterPath>
#include <QString>
#include <optional>
#include <vector>

#include "charts/palette.h"

// One entry for each name of a picture: a sample of its line, band and mark, and the name.
namespace latchwright::charts {

struct LegendEntry {
  QString name;
  std::optional<std::size_t> hue;  ///< none: several subjects share the name
  std::optional<report::Stroke> stroke;
  std::optional<report::Shape> shape;
  bool band = false;
};

/// Of a shown picture, in the order limits come last. Limits carry their value; names that are empty have no
/// entry.
std::vector<LegendEntry> legend_entries(const report::Picture& picture);

QPainterPath mark_path(report::Shape shape, const QPointF& middle, double size);
/// Fills and outlines a mark so that it stands off the lines behind it.
void draw_mark(QPainter& painter, report::Shape shape, const QPointF& middle, double size,
               const QColor& color, const QColor& paper);

/// Where the entries go below a picture: in as many columns as fit, as many rows as it takes but `most_rows`.
class LegendLayout {
 public:
  LegendLayout() = default;
  LegendLayout(const std::vector<LegendEntry>& entries, const QFont& font, double width, int most_rows);
  double height() const;
  void draw(QPainter& painter, const QPointF& corner, bool dark) const;

 private:
  std::vector<LegendEntry> entries_;
  QFont font_;
  std::vector<double> columns_;  ///< widths
  std::size_t rows_ = 0;
  double row_height_ = 0;
};

}  // namespace latchwright::charts
