// SPDX-License-Identifier: GPL-3.0-or-later
#include "physics/thermistor.h"

#include <algorithm>
#include <boost/math/tools/roots.hpp>
#include <cmath>

namespace latchwright::physics {

namespace {

std::vector<double> logs_of(const std::vector<double>& ratios) {
  std::vector<double> logs;
  for (const double ratio : ratios) logs.push_back(std::log(ratio));
  return logs;
}

template <class F>
double root_between(F f, double low, double high) {
  if (f(low) == 0) return low;
  if (f(high) == 0) return high;
  std::uintmax_t most = 200;
  const auto bracket =
      boost::math::tools::toms748_solve(f, low, high, boost::math::tools::eps_tolerance<double>(48), most);
  return 0.5 * (bracket.first + bracket.second);
}

}  // namespace

RatioCurve::RatioCurve(const model::PtcCurve& curve) : g_(curve.T_C, logs_of(curve.ratio)) {
  // Between its points the curve is monotone, so its smallest value stands at 25 degC or at a point.
  const auto& T = g_.points_x();
  double lowest = g_(25.0);
  double lowest_T = 25.0;
  for (std::size_t k = 0; k < T.size(); ++k) {
    if (T[k] > 25.0 && g_.points_y()[k] <= lowest) {
      lowest = g_.points_y()[k];
      lowest_T = T[k];
    }
  }
  smallest_ = std::exp(lowest);
  const double wanted = lowest + std::log(2.0);
  double low = lowest_T;
  for (const double high : T) {
    if (high <= lowest_T) continue;
    if (g_(high) >= wanted) {
      switch_T_C_ = root_between([&](double x) { return g_(x) - wanted; }, low, high);
      break;
    }
    low = high;
  }
}

double RatioCurve::ratio(double T_C) const { return std::exp(g_(T_C)); }

std::optional<double> hold_current(const Thermistor& thermistor, double K_per_W, double ambient_C) {
  const RatioCurve& curve = *thermistor.curve;
  const auto top = curve.switch_T_C();
  if (top && ambient_C >= *top) return 0.0;
  // docs/model.md (5.3)
  // I² = (T - T_a) / (K_per_W R(T)) grows with T while 1 > (T - T_a) g'(T): the first fold ends the
  // continuous path.
  const auto growth = [&](double T) { return 1.0 - (T - ambient_C) * curve.log_ratio(T).slope; };
  const auto current_at = [&](double T) {
    return std::sqrt((T - ambient_C) / (K_per_W * thermistor.resistance(T).value));
  };
  const double end = top ? *top : curve.last_T_C();
  double low = ambient_C;
  std::vector<double> stops;
  for (const double T : curve.curve().points_x()) {
    if (T > ambient_C && T < end) stops.push_back(T);
  }
  stops.push_back(end);
  constexpr int slices = 32;  // of each cubic piece, so that no fold hides between its ends
  for (const double stop : stops) {
    const double start = low;
    // On one piece of the curve growth is a cubic, which lies above the least of its Bernstein coefficients.
    const double third = (stop - start) / 3;
    const double a = growth(start), b = growth(start + third), c = growth(start + 2 * third),
                 d = growth(stop);
    const double inner = std::min(-5 * a + 18 * b - 9 * c + 2 * d, 2 * a - 9 * b + 18 * c - 5 * d) / 6;
    if (std::min({a, inner, d}) > 0) {
      low = stop;
      continue;
    }
    for (int k = 1; k <= slices; ++k) {
      const double high = start + (stop - start) * k / slices;
      if (growth(high) < 0) return current_at(root_between(growth, low, high));
      low = high;
    }
  }
  if (!top) return std::nullopt;
  return current_at(*top);
}

}  // namespace latchwright::physics
