// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <optional>

#include "support/ideal.h"

namespace latchwright::tests {

/// A stall of one door by brute force: docs/model.md sections 1, 2, 4 and 5 written out once more, in fixed
/// steps.
struct PlainStall {
  double initial_A = 0, final_A = 0, peak_A = 0, peak_winding_C = 0;
  std::optional<double> halved_s, tripped_s;
};

inline PlainStall plain_stall(const sim::Circuit& circuit, const model::Actuator& part, double limit_s,
                              double step_s) {
  const sim::DoorCircuit& door = circuit.doors.at(0);
  const model::Thermal& heat = part.thermal;
  const double ambient = circuit.at.ambient_C;
  enum { winding, motor_case, ptc, housing };
  const auto winding_ohm = [&](double T) {
    return part.motor.resistance * (1 + 0.00393 * (T - 20)) / (1 + 0.00393 * 5);
  };
  const auto ptc_ohm = [&](double T) { return door.ptc.resistance_25 * door.ptc.curve->ratio(T); };
  const auto current = [&](const std::vector<double>& T) {
    const double ohm = circuit.shared_ohm + door.branch_ohm + winding_ohm(T[winding]) + ptc_ohm(T[ptc]);
    return std::max(0.0, (circuit.source_V - part.motor.brush_drop) / ohm);
  };
  const auto rates = [&](const std::vector<double>& T, std::vector<double>& d) {
    const double i = current(T);
    const double to_case = (T[winding] - T[motor_case]) / heat.winding_to_case_K_per_W;
    const double to_housing = (T[motor_case] - T[housing]) / heat.case_to_housing_K_per_W;
    const double ptc_case = part.ptc.to_case_W_per_K * (T[ptc] - T[motor_case]);
    const double ptc_housing = part.ptc.to_housing_W_per_K * (T[ptc] - T[housing]);
    const double out = (T[housing] - ambient) / heat.housing_to_ambient_K_per_W;
    d[winding] = (winding_ohm(T[winding]) * i * i - to_case) / heat.winding_J_per_K;
    d[motor_case] = (part.motor.brush_drop * i + to_case - to_housing + ptc_case) / heat.case_J_per_K;
    d[ptc] = (ptc_ohm(T[ptc]) * i * i - ptc_housing - ptc_case) / part.ptc.heat_J_per_K;
    d[housing] = (to_housing + ptc_housing - out) / heat.housing_J_per_K;
  };
  std::vector<double> T(4, ambient);
  const double winding_first = winding_ohm(ambient), ptc_first = ptc_ohm(ambient);
  PlainStall stall;
  stall.initial_A = stall.peak_A = current(T);
  stall.peak_winding_C = ambient;
  const auto steps = static_cast<long>(limit_s / step_s + 0.5);
  for (long k = 1; k <= steps; ++k) {
    runge_kutta_step(T, step_s, rates);
    const double now = current(T);
    stall.peak_A = std::max(stall.peak_A, now);
    stall.peak_winding_C = std::max(stall.peak_winding_C, T[winding]);
    const double t = step_s * static_cast<double>(k);
    if (now > 0.5 * stall.initial_A) continue;
    if (!stall.halved_s) stall.halved_s = t;
    if (!stall.tripped_s && ptc_ohm(T[ptc]) - ptc_first >= winding_ohm(T[winding]) - winding_first) {
      stall.tripped_s = t;
    }
  }
  stall.final_A = current(T);
  return stall;
}

}  // namespace latchwright::tests
