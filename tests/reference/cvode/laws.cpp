// SPDX-License-Identifier: GPL-3.0-or-later
#include "reference/cvode/laws.h"

#include <algorithm>
#include <cmath>

namespace latchwright::tests::cvode {

Copper::Copper(double ohm, double given_C) {
  constexpr double a20 = 0.00393;  // 1/K, IEC 60028
  const double at_20 = ohm / (1 + a20 * (given_C - 20));
  per_K_ = at_20 * a20;
  at_zero_ = at_20 - 20 * per_K_;
}

RatioCurve::RatioCurve(const model::PtcCurve& curve) : T_(curve.T_C) {
  const std::size_t n = T_.size();
  std::vector<double> g(n), secant(n - 1), slope(n);
  for (std::size_t k = 0; k < n; ++k) g[k] = std::log(curve.ratio[k]);
  for (std::size_t k = 0; k + 1 < n; ++k) secant[k] = (g[k + 1] - g[k]) / (T_[k + 1] - T_[k]);
  slope.front() = secant.front();
  slope.back() = secant.back();
  for (std::size_t k = 1; k + 1 < n; ++k) {
    const double before = secant[k - 1], after = secant[k];
    if (!(before * after > 0)) continue;
    // Fritsch and Butland 1984: the longer neighbour counts less.
    const double left = T_[k] - T_[k - 1], right = T_[k + 1] - T_[k];
    slope[k] = 3 * (left + right) / ((2 * right + left) / before + (2 * left + right) / after);
  }
  for (std::size_t k = 0; k + 1 < n; ++k) {
    const double h = T_[k + 1] - T_[k];
    pieces_.push_back({g[k], slope[k], (3 * secant[k] - 2 * slope[k] - slope[k + 1]) / h,
                       (slope[k] + slope[k + 1] - 2 * secant[k]) / (h * h)});
  }
  first_ = g.front();
  last_ = g.back();
}

Sloped RatioCurve::log_at(double T_C) const {
  if (T_C <= T_.front()) return {first_, 0};
  if (T_C >= T_.back()) return {last_, 0};
  std::size_t k = 0;
  while (T_C >= T_[k + 1]) ++k;
  const Piece& p = pieces_[k];
  const double d = T_C - T_[k];
  return {p.c0 + d * (p.c1 + d * (p.c2 + d * p.c3)), p.c1 + d * (2 * p.c2 + 3 * d * p.c3)};
}

Sloped RatioCurve::at(double T_C) const {
  const Sloped g = log_at(T_C);
  const double ratio = std::exp(g.value);
  return {ratio, ratio * g.slope};
}

std::optional<double> hold_current(const RatioCurve& curve, double ohm_25, double W_per_K, double ambient_C) {
  // A march in small steps; every end that it comes to is then halved down to rounding.
  constexpr double step = 1.0 / 64;  // K
  const double last = curve.last_C();
  double smallest = curve.at(25).value, smallest_C = 25;
  for (double T = 25; T <= last; T += step) {
    if (curve.at(T).value <= smallest) {
      smallest = curve.at(T).value;
      smallest_C = T;
    }
  }
  const auto halved = [](double low, double high, auto&& beyond) {
    for (int n = 0; n < 80; ++n) {
      const double middle = 0.5 * (low + high);
      (beyond(middle) ? high : low) = middle;
    }
    return high;
  };
  const auto switched = [&](double T) { return curve.at(T).value >= 2 * smallest; };
  std::optional<double> switch_C;
  for (double T = smallest_C; T < last && !switch_C; T += step) {
    const double high = std::min(T + step, last);
    if (switched(high)) switch_C = halved(T, high, switched);
  }
  if (switch_C && ambient_C >= *switch_C) return 0.0;
  const auto current = [&](double T) {
    return std::sqrt(W_per_K * (T - ambient_C) / (ohm_25 * curve.at(T).value));
  };
  // The square of the current has the slope of 1 - (T - T_a) g'(T).
  const auto falls = [&](double T) { return 1 - (T - ambient_C) * curve.log_at(T).slope < 0; };
  const double end = switch_C ? *switch_C : last;
  for (double T = ambient_C; T < end; T += step) {
    const double high = std::min(T + step, end);
    if (falls(high)) return current(halved(T, high, falls));
  }
  if (!switch_C) return std::nullopt;
  return current(*switch_C);
}

}  // namespace latchwright::tests::cvode
