// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/triage_stories.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include "bench/triage_tables.h"

namespace latchwright::bench {

namespace {

constexpr double some_seconds = 8;    // nobody unplugs and reads in less
constexpr double rest_spread = 0.35;  // of the logarithm, as of a figure remembered to about a third
constexpr double throw_spread = 0.35;
constexpr int most_throws = 2000;

double below(double z) { return 0.5 * std::erfc(-z / std::numbers::sqrt2); }

/// The z below which a share p of a normal law lies.
double normal_at(double p) {
  double low = -4, high = 4;
  for (int k = 0; k < 50; ++k) {
    const double half = 0.5 * (low + high);
    (below(half) < p ? low : high) = half;
  }
  return 0.5 * (low + high);
}

}  // namespace

// docs/model.md (11.4)
double rest_shorter(double told_min, double seconds) {
  if (seconds <= 0) return 0;
  const double middle = 60 * told_min + some_seconds;
  const double none = below(std::log(some_seconds / middle) / rest_spread);
  return (below(std::log((seconds + some_seconds) / middle) / rest_spread) - none) / (1 - none);
}

double rest_shorter(double seconds) {
  // All that could be told, from a table even in the logarithm.
  constexpr double first_s = 0.01, last_s = 3e5;
  constexpr int places = 3000;
  static const double step = std::log(last_s / first_s) / (places - 1);
  static const std::vector<double> table = [] {
    std::vector<double> made;
    for (int k = 0; k < places; ++k) {
      double sum = 0;
      for (const auto& node : idle_nodes()) {
        sum += node.chance * rest_shorter(node.minutes, first_s * std::exp(step * k));
      }
      made.push_back(sum);
    }
    return made;
  }();
  if (seconds <= first_s) return seconds > 0 ? table.front() * seconds / first_s : 0;
  const double at = std::min(std::log(seconds / first_s) / step, places - 1.001);
  const auto k = static_cast<std::size_t>(at);
  return table[k] + (at - static_cast<double>(k)) * (table[k + 1] - table[k]);
}

int made_throws(int told, double place) {
  if (told == 0) return 0;
  const double made = told * std::exp(throw_spread * normal_at(place));
  return std::clamp(static_cast<int>(std::lround(made)), 1, most_throws);
}

// docs/model.md (11.5)
double held_after(int told) {
  constexpr double most = 0.15, half_way = 15;
  const double many = told / (told + half_way);
  return most * many * many;
}

}  // namespace latchwright::bench
