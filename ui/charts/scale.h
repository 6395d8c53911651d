// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QList>
#include <limits>

#include "report/picture.h"

// From what is drawn to an axis' range and its ticks.
namespace latchwright::charts {

/// Whether an axis can show the value at all.
bool drawable(double value, bool logarithmic);

/// An axis' range; `at` maps it to 0..1, linearly or by the logarithm.
struct Span {
  double low = 0;
  double high = 1;
  bool logarithmic = false;

  double at(double value) const;
  double value(double at) const;
  bool holds(double value) const { return value >= low && value <= high; }
};

/// Smallest and largest of what is drawn.
struct Extent {
  double low = std::numeric_limits<double>::infinity();
  double high = -std::numeric_limits<double>::infinity();

  bool empty() const { return !(low <= high); }
  void take(double value) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
};

struct Scale {
  Span span;
  double step = 1;   ///< between ticks of a linear axis; they are multiples of it
  int decimals = 0;  ///< that the ticks need
};

/// `drawn`: lines and bands; `marks`: middles of marks, and limits, which keep off the ends of the axis.
/// `snug`: the range ends with the data (the lower axis), else with a tick. Values given by the axis win.
Scale make_scale(const report::Axis& axis, const Extent& drawn, const Extent& marks, bool snug);

/// Where a logarithmic axis has numbers beside those of the decades: at 2 and 5 where it spans few decades,
/// at more where it spans less than one.
QList<double> numbers_between_decades(const Span& span);

}  // namespace latchwright::charts
