// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <cstddef>
#include <vector>

namespace latchwright::base {

/// A value of a curve and its slope at the same place.
struct ValueAndSlope {
  double value;
  double slope;
};

/// Monotone cubic Hermite curve through points (Fritsch–Carlson; slopes from Boost.Math's pchip: weighted
/// harmonic mean inside, the end interval's secant at both ends). Outside the points the end value holds.
class MonotoneCurve {
 public:
  /// x strictly rising, 4 points or more.
  MonotoneCurve(std::vector<double> x, std::vector<double> y);

  double operator()(double x) const { return at(x).value; }
  ValueAndSlope at(double x) const {
    if (x <= x_.front()) return {y_.front(), 0.0};
    if (x >= x_.back()) return {y_.back(), 0.0};
    const auto k = static_cast<std::size_t>(std::upper_bound(x_.begin(), x_.end(), x) - x_.begin() - 1);
    const Cubic& p = pieces_[k];
    const double d = x - x_[k];
    return {p.c0 + d * (p.c1 + d * (p.c2 + d * p.c3)), p.c1 + d * (2 * p.c2 + d * 3 * p.c3)};
  }

  /// Between which points x lies: the same number for all x that one cubic, or one end, serves.
  std::size_t piece(double x) const {
    return static_cast<std::size_t>(std::upper_bound(x_.begin(), x_.end(), x) - x_.begin());
  }

  const std::vector<double>& points_x() const { return x_; }
  const std::vector<double>& points_y() const { return y_; }

 private:
  struct Cubic {
    double c0, c1, c2, c3;
  };
  std::vector<double> x_;
  std::vector<double> y_;
  std::vector<Cubic> pieces_;
};

/// Straight lines between points; outside them the end value holds. x strictly rising, 1 point or more. At a
/// point the slope is that of the line that begins there.
class LinearTable {
 public:
  LinearTable(std::vector<double> x, std::vector<double> y);

  double operator()(double x) const { return at(x).value; }
  ValueAndSlope at(double x) const;
  /// The first point above x; infinity past the last one.
  double next_point(double x) const;
  /// Integral from a to b >= a.
  double integral(double a, double b) const;

 private:
  std::vector<double> x_;
  std::vector<double> y_;
};

}  // namespace latchwright::base
