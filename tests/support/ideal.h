// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <utility>
#include <vector>

#include "sim/pulse.h"
#include "support/studies.h"

// Circuits that have closed solutions: one door without wires, friction or heating unless a test gives it
// some.
namespace latchwright::tests {

/// So much heat capacity that a node stays where it is, J/K.
inline constexpr double frozen_J_per_K = 1e12;

inline model::Thermal frozen_thermal() {
  model::Thermal t;
  t.winding_J_per_K = t.case_J_per_K = t.housing_J_per_K = frozen_J_per_K;
  t.winding_to_case_K_per_W = t.case_to_housing_K_per_W = t.housing_to_ambient_K_per_W = 1;
  return t;
}

inline model::Ptc ptc_heat(double J_per_K, double to_housing_W_per_K, double to_case_W_per_K = 0) {
  model::Ptc p;
  p.heat_J_per_K = J_per_K;
  p.to_housing_W_per_K = to_housing_W_per_K;
  p.to_case_W_per_K = to_case_W_per_K;
  return p;
}

inline std::shared_ptr<const physics::RatioCurve> curve_of(std::vector<double> T_C,
                                                           std::vector<double> ratio) {
  return std::make_shared<const physics::RatioCurve>(model::PtcCurve{std::move(T_C), std::move(ratio)});
}

/// V behind nothing, one motor of R (whole circuit), L, K, J and b at 25 degC, all nodes frozen there; never
/// arrives.
inline sim::Circuit ideal_motor(double V, double R, double L, double K, double J, double b) {
  sim::Circuit circuit = worked_circuit({V, 25});
  circuit.shared_ohm = circuit.internal_ohm = 0;
  circuit.source_V = V;
  sim::DoorCircuit& door = circuit.doors[0];
  door.branch_ohm = 0;
  door.motor.resistance_25 = 0.9 * R;
  door.ptc.resistance_25 = 0.1 * R;
  door.motor.inductance = L;
  door.motor.torque_constant_25 = K;
  door.motor.inertia = J;
  door.motor.viscous = b;
  door.motor.brush_drop = door.motor.friction_25 = 0;
  door.motor.magnet_drift_per_K = door.motor.cold_stiffening_per_K = 0;
  door.heat = physics::HeatNetwork(frozen_thermal(), ptc_heat(frozen_J_per_K, 1));
  door.takeup_rad = 1e9;
  return circuit;
}

/// A load of `torque` at the shaft from the start on, with no end of travel in reach.
inline void load_steadily(sim::DoorCircuit& door, double torque) {
  model::RodForce force;
  force.shape = model::RodShape::steady;
  force.peak = torque * door.efficiency / door.rod_per_rad;
  door.stroke = 1e6;
  door.takeup_rad = 0;
  door.lock_load = physics::RodLoad(force, door.stroke, 25, -20);
}

/// The full state just before a pulse's end.
class LastState final : public sim::Observer {
 public:
  void segment(const sim::Segment&) override {}
  void pulse_ended(double, const sim::State& full) override { state = full; }
  double current(std::size_t door = 0) const { return state[door * sim::slots + sim::slot_current]; }
  double speed(std::size_t door = 0) const { return state[door * sim::slots + sim::slot_speed]; }
  double angle(std::size_t door = 0) const { return state[door * sim::slots + sim::slot_angle]; }
  sim::State state;
};

/// The state after `seconds` of a lock pulse from ambient.
inline LastState after_pulse(const sim::Circuit& circuit, double seconds) {
  LastState last;
  sim::PulseEngine engine(circuit);
  auto temperatures = sim::ambient_temperatures(circuit);
  engine.run(temperatures, 0, seconds, false, {&last});
  return last;
}

/// One step of the classical Runge–Kutta method; rates(x, dxdt).
template <class Rates>
void runge_kutta_step(std::vector<double>& x, double h, const Rates& rates) {
  const std::size_t n = x.size();
  std::vector<double> k1(n), k2(n), k3(n), k4(n), y(n);
  rates(x, k1);
  for (std::size_t j = 0; j < n; ++j) y[j] = x[j] + h / 2 * k1[j];
  rates(y, k2);
  for (std::size_t j = 0; j < n; ++j) y[j] = x[j] + h / 2 * k2[j];
  rates(y, k3);
  for (std::size_t j = 0; j < n; ++j) y[j] = x[j] + h * k3[j];
  rates(y, k4);
  for (std::size_t j = 0; j < n; ++j) x[j] += h / 6 * (k1[j] + 2 * k2[j] + 2 * k3[j] + k4[j]);
}

}  // namespace latchwright::tests
