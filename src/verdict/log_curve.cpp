// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/log_curve.h"
#include "base/infinity.h"

#include <algorithm>
#include <cmath>

namespace latchwright::verdict {

namespace {

using base::infinity;

void add(Series& series, CurvePoint point) {
  series.current_A.push_back(point.current_A);
  series.time_s.push_back(point.time_s);
}

/// Share of the way from `from` to `to` on a logarithmic scale.
double log_between(double from, double to, double share) {
  return share <= 0 ? from : share >= 1 ? to : from * std::pow(to / from, share);
}

/// Where the straight line between two points has a time, 0..1 of the way.
double share_of_time(const CurvePoint& from, const CurvePoint& to, double time_s) {
  return std::log(time_s / from.time_s) / std::log(to.time_s / from.time_s);
}

}  // namespace

double time_at(const Series& series, double current_A) {
  const auto& I = series.current_A;
  if (I.empty()) return 0;
  if (current_A < I.front()) return infinity;
  if (current_A > I.back()) return 0;
  const auto above = static_cast<std::size_t>(std::upper_bound(I.begin(), I.end(), current_A) - I.begin());
  if (above == I.size()) return series.time_s.back();
  const std::size_t below = above - 1;
  const double share = std::log(current_A / I[below]) / std::log(I[above] / I[below]);
  return log_between(series.time_s[below], series.time_s[above], share);
}

double current_reaching(double time_s, const std::function<double(double)>& time_of, double low_A,
                        double high_A) {
  if (time_of(low_A) <= time_s) return low_A;
  double above_A = high_A;
  double below_A = low_A;
  while (above_A - below_A > 4e-16 * above_A) {
    const double middle = std::sqrt(below_A * above_A);
    if (middle <= below_A || middle >= above_A) break;
    (time_of(middle) <= time_s ? above_A : below_A) = middle;
  }
  return above_A;
}

Series draw_law(std::string name, const std::function<double(double)>& time_of, double low_A, double high_A) {
  // 40 points a decade: between them the laws bend by some 1e-4 of the current.
  constexpr int steps = 222;
  Series series{std::move(name), {}, {}};
  for (int k = 0; k <= steps; ++k) {
    const double time = log_between(window_to_s, window_from_s, static_cast<double>(k) / steps);
    const double amps = current_reaching(time, time_of, low_A, high_A);
    if (amps > low_A && amps < high_A) add(series, {amps, time});
  }
  return series;
}

Series draw_corners(std::string name, const std::vector<CurvePoint>& corners) {
  constexpr double longest_step = 0.2;  // of the larger of the two logarithms
  Series series{std::move(name), {}, {}};
  const auto within = [](double time) { return time >= window_from_s && time <= window_to_s; };
  for (std::size_t k = 0; k < corners.size(); ++k) {
    const CurvePoint& from = corners[k];
    if (k + 1 == corners.size()) {
      if (within(from.time_s)) add(series, from);
      break;
    }
    const CurvePoint& to = corners[k + 1];
    if (to.time_s > window_to_s || from.time_s < window_from_s) continue;
    // Points of the straight piece, its window borders exact; the next piece adds the end.
    const double first = from.time_s > window_to_s ? share_of_time(from, to, window_to_s) : 0;
    const double last = to.time_s < window_from_s ? share_of_time(from, to, window_from_s) : 1;
    const double width =
        (last - first) * std::max(std::log(to.current_A / from.current_A), std::log(from.time_s / to.time_s));
    const int pieces = std::max(1, static_cast<int>(std::ceil(width / longest_step)));
    const bool leaves = to.time_s < window_from_s;
    for (int n = 0; n < pieces + (leaves ? 1 : 0); ++n) {
      const double share = first + (last - first) * n / pieces;
      const double time = n == 0 && from.time_s > window_to_s ? window_to_s
                          : n == pieces                       ? window_from_s
                                                              : log_between(from.time_s, to.time_s, share);
      add(series, {log_between(from.current_A, to.current_A, share), time});
    }
  }
  return series;
}

}  // namespace latchwright::verdict
