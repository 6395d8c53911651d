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

// docs/model.md (11.3), its two figures given by whoever makes one.
double ReadingError::sd(double figure) const { return std::hypot(base_, share_ * figure); }

double ReadingError::about(double shown, double figure) const {
  const double s = sd(figure);
  const double z = (shown - figure) / s;
  return std::exp(-0.5 * z * z) / (s * std::sqrt(2 * std::numbers::pi)) / below(figure / s);
}

double ReadingError::within(double low, double high, double figure) const {
  const double s = sd(figure);
  return (below((high - figure) / s) - below((low - figure) / s)) / below(figure / s);
}

double ReadingError::right_density(double shown, double figure) const {
  return (1 - anything - nothing_) * about(shown, figure);
}

double ReadingError::density(double shown, double figure) const {
  double sum = right_density(shown, figure);
  if (nothing_ > 0) sum += nothing_ * about(shown, 0);
  return sum + anything / ((shown + scale_) * std::log((top_ + scale_) / scale_));
}

double ReadingError::chance(double low, double high, double figure) const {
  double sum = (1 - anything - nothing_) * within(low, high, figure);
  if (nothing_ > 0) sum += nothing_ * within(low, high, 0);
  const double from = std::min(low, top_), to = std::min(high, top_);
  return sum + anything * std::log((to + scale_) / (from + scale_)) / std::log((top_ + scale_) / scale_);
}

}  // namespace latchwright::bench
