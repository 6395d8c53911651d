// SPDX-License-Identifier: GPL-3.0-or-later
#include "spread/boundary.h"

#include <algorithm>
#include <cmath>

namespace latchwright::spread {

namespace {

constexpr double step_s = 1 / time_steps_per_s;

/// Whole steps where there is one between the two, else their middle.
double between(double a, double b) {
  const double middle = (a + b) / 2;
  const double rounded = whole_step(middle);
  const auto [low, high] = std::minmax(a, b);
  return rounded > low + axis_rounding && rounded < high - axis_rounding ? rounded : middle;
}

/// The end that passes of two that do and do not, once they are a step apart.
double halved(double good, double bad, const Passes& passes) {
  while (std::abs(bad - good) > step_s + axis_rounding) {
    const double middle = between(good, bad);
    (passes(middle) ? good : bad) = middle;
  }
  return good;
}

/// A pulse that passes between two columns that do not, and the first place beyond it that does not.
struct Window {
  double good = 0, bad = 0;
};

std::optional<Window> find_window(double from_s, double to_s, const Passes& passes) {
  constexpr int most_probes = 24;
  const int probes = std::clamp(static_cast<int>((to_s - from_s) / step_s), 1, most_probes);
  double bad = to_s;
  // From the long end: the first that passes there is the one that is sought.
  for (int n = probes; n-- > 0;) {
    const double value = from_s + (to_s - from_s) * n / probes;
    if (passes(value)) return Window{value, bad};
    bad = value;
  }
  return std::nullopt;
}

}  // namespace

double whole_step(double value_s) { return std::round(value_s * time_steps_per_s) / time_steps_per_s; }

std::optional<double> shortest_rest(const MapRow& row, const Passes& passes) {
  std::size_t good = row.values_s.size();
  while (good > 0 && row.cycles_done[good - 1] >= row.cycles) --good;
  if (good == 0 || good == row.values_s.size()) return std::nullopt;
  return halved(row.values_s[good], row.values_s[good - 1], passes);
}

std::optional<double> longest_pulse(const MapRow& row, std::optional<double> throws_from_s,
                                    const Passes& passes) {
  const auto& values = row.values_s;
  std::size_t beyond = values.size();
  while (beyond > 0 && row.cycles_done[beyond - 1] < row.cycles) --beyond;
  if (beyond == values.size()) return std::nullopt;
  if (beyond > 0) return halved(values[beyond - 1], values[beyond], passes);
  // No column passes. Cycles come with the first pulse that throws and go again as longer ones heat more.
  if (!throws_from_s || *throws_from_s >= values.back()) return std::nullopt;
  const auto best_place = std::max_element(row.cycles_done.begin(), row.cycles_done.end());
  auto best = static_cast<std::size_t>(best_place - row.cycles_done.begin());
  if (*best_place == 0) {
    const auto first = std::upper_bound(values.begin(), values.end(), *throws_from_s);
    best = static_cast<std::size_t>(first - values.begin());
  }
  const double from_s = std::max({*throws_from_s, values.front(), best > 0 ? values[best - 1] : 0.0});
  const double to_s = values[std::min(best + 1, values.size() - 1)];
  if (from_s >= to_s) return std::nullopt;
  const auto window = find_window(from_s, to_s, passes);
  if (!window) return std::nullopt;
  return halved(window->good, window->bad, passes);
}

}  // namespace latchwright::spread
