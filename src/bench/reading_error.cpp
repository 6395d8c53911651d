// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/reading_error.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace latchwright::bench {

namespace {

constexpr double anything = 0.01;  // share of readings that went wrong

double below(double z) { return 0.5 * std::erfc(-z / std::numbers::sqrt2); }

}  // namespace

double ReadingError::sd(double figure) const { return std::hypot(base_, share_ * figure); }

double ReadingError::density(double shown, double figure) const {
  const double s = sd(figure);
  const double z = (shown - figure) / s;
  const double right = std::exp(-0.5 * z * z) / (s * std::sqrt(2 * std::numbers::pi)) / below(figure / s);
  const double wrong = 1 / ((shown + scale_) * std::log((top_ + scale_) / scale_));
  return (1 - anything) * right + anything * wrong;
}

double ReadingError::chance(double low, double high, double figure) const {
  const double s = sd(figure);
  const double right = (below((high - figure) / s) - below((low - figure) / s)) / below(figure / s);
  const double from = std::min(low, top_), to = std::min(high, top_);
  const double wrong = std::log((to + scale_) / (from + scale_)) / std::log((top_ + scale_) / scale_);
  return (1 - anything) * right + anything * wrong;
}

}  // namespace latchwright::bench
