// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cmath>
#include <optional>

namespace latchwright::sim {

/// The cubic through the values and rates at both ends of a stretch of h seconds.
struct Cubic {
  double first = 0, first_rate = 0, last = 0, last_rate = 0, h = 0;

  /// At u h, 0 <= u <= 1.
  double at(double u) const {
    const double v = 1 - u;
    return first + (last - first) * u * u * (3 - 2 * u) + h * u * v * (v * first_rate - u * last_rate);
  }

  /// Rate at u h, per second.
  double rate(double u) const {
    const double v = 1 - u;
    return 6 * u * v * (last - first) / h + v * (v - 2 * u) * first_rate + u * (u - 2 * v) * last_rate;
  }

  /// Where it has a top inside, as a share of the stretch, when it rises at the first end and falls at the
  /// last.
  std::optional<double> top() const {
    if (!(first_rate > 0 && last_rate < 0)) return std::nullopt;
    // The rate is a parabola known at both ends and in its mean.
    const double mean = (last - first) / h;
    const double a = 3 * (first_rate + last_rate - 2 * mean), b = 6 * mean - 4 * first_rate - 2 * last_rate;
    const double root = std::sqrt(std::fmax(0.0, b * b - 4 * a * first_rate));
    const double u = b < 0 ? 2 * first_rate / (root - b) : (a != 0 ? -(b + root) / (2 * a) : 1.0);
    return u > 0 && u < 1 ? std::optional(u) : std::nullopt;
  }

  double largest() const {
    const double ends = std::fmax(first, last);
    const auto u = top();
    return u ? std::fmax(ends, at(*u)) : ends;
  }
};

}  // namespace latchwright::sim
