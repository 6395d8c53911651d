// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cmath>
#include <memory>
#include <optional>

#include "base/tables.h"
#include "model/parts.h"

namespace latchwright::physics {

/// PTC thermistor's ratio curve (docs/model.md section 1).
///   law     R(T) / R(25 degC) = exp(g(T)), g the monotone cubic through (T, ln ratio)
///   range   the table's; outside it the end value holds, and results say so
///   source  switch point: IEC 60738-1, twice the smallest resistance
class RatioCurve {
 public:
  explicit RatioCurve(const model::PtcCurve& curve);

  /// ln ratio and its slope, 1/K.
  base::ValueAndSlope log_ratio(double T_C) const { return g_.at(T_C); }
  double ratio(double T_C) const;
  double last_T_C() const { return g_.points_x().back(); }

  /// Smallest ratio from 25 degC upward.
  double smallest_ratio() const { return smallest_; }
  /// Where the ratio, above its smallest, reaches twice that; none when the table never does.
  std::optional<double> switch_T_C() const { return switch_T_C_; }

  const base::MonotoneCurve& curve() const { return g_; }

 private:
  base::MonotoneCurve g_;
  double smallest_ = 1;
  std::optional<double> switch_T_C_;
};

/// A thermistor as it stands in a study, docs/model.md (1.4): R(T) = resistance_25 * ratio(T).
struct Thermistor {
  double resistance_25 = 0;  ///< ohm, after_trip_ratio included where the study asks for it
  std::shared_ptr<const RatioCurve> curve;

  /// Resistance, ohm, and its slope, ohm/K.
  base::ValueAndSlope resistance(double T_C) const {
    const auto g = curve->log_ratio(T_C);
    const double r = resistance_25 * std::exp(g.value);
    return {r, r * g.slope};
  }
};

/// Hold current (docs/model.md section 5): the largest steady current that is reached continuously from 0
/// with the thermistor at or below its switch point. K_per_W: from thermistor to ambient through everything
/// around it. 0 when the ambient is above the switch point; none when no current trips it within its table.
std::optional<double> hold_current(const Thermistor& thermistor, double K_per_W, double ambient_C);

}  // namespace latchwright::physics
