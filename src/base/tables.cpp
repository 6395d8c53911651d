// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/tables.h"

#include <math.h>  // the pchip of Boost 1.74 calls isnan without std::

#include <algorithm>
#include <boost/math/interpolators/pchip.hpp>
#include <limits>

#include "base/failure.h"

namespace latchwright::base {

MonotoneCurve::MonotoneCurve(std::vector<double> x, std::vector<double> y)
    : x_(std::move(x)), y_(std::move(y)) {
  require(x_.size() >= 4 && x_.size() == y_.size(), "a monotone curve needs 4 points");
  auto copy_x = x_;
  auto copy_y = y_;
  // Slopes at the points, docs/model.md (1.5).
  const boost::math::interpolators::pchip<std::vector<double>> curve(std::move(copy_x), std::move(copy_y));
  for (std::size_t k = 0; k + 1 < x_.size(); ++k) {
    const double h = x_[k + 1] - x_[k];
    const double secant = (y_[k + 1] - y_[k]) / h;
    const double left = curve.prime(x_[k]);
    const double right = curve.prime(x_[k + 1]);
    pieces_.push_back(
        {y_[k], left, (3 * secant - 2 * left - right) / h, (left + right - 2 * secant) / (h * h)});
  }
}

LinearTable::LinearTable(std::vector<double> x, std::vector<double> y) : x_(std::move(x)), y_(std::move(y)) {
  require(!x_.empty() && x_.size() == y_.size(), "a table needs a point");
}

ValueAndSlope LinearTable::at(double x) const {
  if (x < x_.front()) return {y_.front(), 0.0};
  if (x >= x_.back()) return {y_.back(), 0.0};
  const auto k = static_cast<std::size_t>(std::upper_bound(x_.begin(), x_.end(), x) - x_.begin());
  const double slope = (y_[k] - y_[k - 1]) / (x_[k] - x_[k - 1]);
  return {y_[k - 1] + slope * (x - x_[k - 1]), slope};
}

double LinearTable::next_point(double x) const {
  const auto next = std::upper_bound(x_.begin(), x_.end(), x);
  return next == x_.end() ? std::numeric_limits<double>::infinity() : *next;
}

double LinearTable::integral(double a, double b) const {
  double sum = 0;
  for (double next = next_point(a); next < b; next = next_point(a)) {
    sum += 0.5 * ((*this)(a) + (*this)(next)) * (next - a);
    a = next;
  }
  return sum + 0.5 * ((*this)(a) + (*this)(b)) * (b - a);
}

}  // namespace latchwright::base
