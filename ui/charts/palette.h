// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QColor>
#include <QPen>
#include <cstddef>

#include "report/picture.h"

// Colours that people with any kind of colour vision can tell apart, and the strokes beside them.
namespace latchwright::charts {

/// What a picture is drawn on and written with.
struct Ground {
  QColor paper;
  QColor ink;    ///< titles
  QColor muted;  ///< condition, note, numbers at the axes
  QColor grid;
  QColor fine_grid;  ///< between the decades of a logarithmic axis
};
Ground ground(bool dark);

std::size_t hue_count();
/// By Picture's hue, modulo hue_count(). At least 3:1 against the paper (WCAG 2.1, 1.4.11).
QColor hue_color(std::size_t hue, bool dark);

inline constexpr double line_width = 1.8;
inline constexpr double mark_size = 9;
inline constexpr double band_opacity = 0.22;

QPen stroke_pen(report::Stroke stroke, const QColor& color, double width);

}  // namespace latchwright::charts
