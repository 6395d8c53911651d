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

double ReadingError::right_density(double shown, double figure) const {
  return (1 - anything - nothing_) * about(shown, figure);
}

double ReadingError::right_density_between(double shown, double low, double high, bool in_logarithm) const {
  if (!(high > low * (1 + 1e-9))) return right_density(shown, high);
  const auto [least, most] = figures_about(shown, 5);
  if (low > most || high < least) return 0;
  // With z = (shown - figure) / sd the integral of a normal law is that of dz times a factor that hardly
  // changes where the law is not next to nothing: d(figure) / sd = -sd^2 / (base^2 + share^2 shown figure)
  // dz.
  const auto factor_at = [&](double figure) {
    const double s = sd(figure);
    const double factor = s * s / (base_ * base_ + share_ * share_ * shown * figure);
    return (figure < 4 * s ? factor / below(figure / s) : factor) / (in_logarithm ? figure : 1.0);
  };
  const auto shown_above = [&](double figure) { return below((shown - figure) / sd(figure)); };
  // Where the error is much of the figure the logarithm changes within it: taken in pieces.
  constexpr double much = 5, ratio = 1.35;
  double sum = 0, from = low, above = shown_above(low);
  const double last = in_logarithm ? std::min({high, most, much * base_}) : low;
  while (from < last) {
    const double to = std::min(high, ratio * from);
    const double above_to = shown_above(to);
    sum += (above - above_to) * factor_at(0.5 * (from + to));
    from = to;
    above = above_to;
  }
  if (from < high) sum += (above - shown_above(high)) * factor_at(std::clamp(shown, from, high));
  return (1 - anything - nothing_) * std::max(0.0, sum) / (in_logarithm ? std::log(high / low) : high - low);
}

double ReadingError::wrong_density(double shown) const {
  const double none = nothing_ > 0 ? nothing_ * about(shown, 0) : 0;
  return none + anything / ((shown + scale_) * std::log((top_ + scale_) / scale_));
}

double ReadingError::density(double shown, double figure) const {
  return right_density(shown, figure) + wrong_density(shown);
}

double ReadingError::chance_below(double shown, double figure) const {
  const auto right = [&](double about) {
    const double s = sd(about);
    const double none = below(-about / s);
    return (below((shown - about) / s) - none) / (1 - none);
  };
  double sum = (1 - anything - nothing_) * right(figure);
  if (nothing_ > 0) sum += nothing_ * right(0);
  return sum +
         anything * std::log((std::min(shown, top_) + scale_) / scale_) / std::log((top_ + scale_) / scale_);
}

double ReadingError::chance(double low, double high, double figure) const {
  return std::max(0.0, chance_below(high, figure) - chance_below(low, figure));
}

std::pair<double, double> ReadingError::figures_about(double shown, double deviations) const {
  const double base = deviations * base_, share = deviations * share_;
  return {std::max(0.0, (shown - base) / (1 + share)), (shown + base) / (1 - share)};
}

}  // namespace latchwright::bench
