// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <cmath>

#include "model/parts.h"
#include "physics/copper.h"

namespace latchwright::physics {

/// Brushed DC motor, docs/model.md (1.2), (1.3).
///   law     K(T) = K25 (1 + drift (T_case - 25)); friction(T) = friction25 exp(stiffening max(0, 25 -
///   T_housing)) range   T in degC; K the same number in N·m/A and V·s/rad limits  linear magnet; Coulomb and
///   viscous friction only; one winding temperature
struct MotorLaw {
  double resistance_25 = 0;
  double inductance = 0;
  double torque_constant_25 = 0;
  double brush_drop = 0;
  double friction_25 = 0;
  double viscous = 0;
  double inertia = 0;
  double magnet_drift_per_K = 0;
  double cold_stiffening_per_K = 0;

  explicit MotorLaw(const model::Motor& m)
      : resistance_25(m.resistance),
        inductance(m.inductance),
        torque_constant_25(m.torque_constant),
        brush_drop(m.brush_drop),
        friction_25(m.friction),
        viscous(m.viscous),
        inertia(m.inertia),
        magnet_drift_per_K(m.magnet_drift_per_K),
        cold_stiffening_per_K(m.cold_stiffening_per_K) {}

  double winding_ohm(double winding_C) const {
    return resistance_25 + winding_ohm_per_K() * (winding_C - 25);
  }
  double winding_ohm_per_K() const { return resistance_25 * copper_a25; }
  double torque_constant(double case_C) const {
    return torque_constant_25 * (1 + magnet_drift_per_K * (case_C - 25));
  }
  double torque_constant_per_K() const { return torque_constant_25 * magnet_drift_per_K; }
  double friction(double housing_C) const {
    return housing_C >= 25 ? friction_25 : friction_25 * std::exp(cold_stiffening_per_K * (25 - housing_C));
  }
  /// The same from its value at a temperature that may be near: then by two terms of the series, 2e-10 off at
  /// most.
  double friction(double housing_C, double known, double known_C) const {
    constexpr double near = 1e-3;
    const double change = cold_stiffening_per_K * (known_C - housing_C);
    if (housing_C >= 25 || !(known_C < 25 && std::fabs(change) <= near)) return friction(housing_C);
    return known * (1 + change * (1 + 0.5 * change));
  }
  /// N·m/K, of a friction that is `value` at this temperature.
  double friction_per_K(double housing_C, double value) const {
    return housing_C >= 25 ? 0 : -cold_stiffening_per_K * value;
  }
};

/// Winding temperature permitted in a fault (docs/model.md section 8): the part's own, else its class plus
/// what IEC 60335-1 table 8 allows in the first hour of abnormal operation (from memory): 95 K up to class
/// 130, 85 K for 155, 80 K for 180 and above.
double winding_fault_limit_C(const model::Motor& motor);

}  // namespace latchwright::physics
