// SPDX-License-Identifier: GPL-3.0-or-later
// Brushed DC motors against published problems and handbook relations.
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "sim/rest.h"
#include "support/ideal.h"
#include "support/published.h"

using namespace latchwright;
using tests::check_published;
using tests::check_published_share;
using physics::heat_nodes;

namespace {

constexpr double rpm = 2 * std::numbers::pi / 60;  // rad/s

const char* const courseware = "courseware problem on the permanent-magnet DC motor; answers from its inputs";
const char* const handbook = "handbook-style problem; answers from the straight speed-torque line";
const char* const hot_motor = "application note, hot motor";
const char* const warm_coil = "application note, coil under constant current";
const char* const two_nodes = "two-node model of the handbooks (computed)";

double standstill_current(const sim::Circuit& circuit) { return sim::ambient_stall_currents(circuit)[0]; }

}  // namespace

// Courseware problem on the permanent-magnet DC motor: K 0.028 V·s/rad, R 11.2 ohm, J 1.2e-4 kg·m², b 4.1e-5
// N·m·s, at 30 V, inductance neglected. Its inputs are published; the answers follow from w = V K/(R b + K²),
// tau = J R/(R b + K²). The engine needs an inductance: 0.2 mH stands for none (L/R 18 us against 1.08 s).
TEST_CASE("published motor: courseware problem", "[published][motor]") {
  const auto circuit = tests::ideal_motor(30, 11.2, 0.2e-3, 0.028, 1.2e-4, 4.1e-5);
  check_published({"motor at 30 V: current at standstill", "A", courseware}, standstill_current(circuit), 2.679, 5e-4);
  check_published({"motor at 30 V: torque at standstill", "N·m", courseware},
                  circuit.doors[0].motor.torque_constant(25) * standstill_current(circuit), 0.0750, 5e-5);
  const auto settled = tests::after_pulse(circuit, 16);
  check_published({"motor at 30 V: last speed", "rad/s", courseware}, settled.speed(), 675.68, 0.01);
  check_published({"motor at 30 V: last current", "A", courseware}, settled.current(), 0.989, 5e-4);
  // After one time constant, 1.081 s, a first-order start has 1 - 1/e of its speed.
  const auto rising = tests::after_pulse(circuit, 1.081);
  check_published_share({"motor at 30 V: speed after 1.081 s", "rad/s", courseware}, rising.speed(),
                        675.68 * (1 - std::exp(-1.0)), 5e-4);
}

// Handbook-style problem: 12 V, 3 800 rpm without load, 30 mN·m at standstill, no friction; at 2 500
// rpm: 10.263 mN·m, 0.3403 A, 2.687 W out of 4.084 W. Inputs published; answers from the straight
// speed-torque line.
TEST_CASE("published motor: a point on the speed-torque line", "[published][motor]") {
  const double K = 12 / (3800 * rpm), R = 12 * K / 0.030;
  CHECK(K == Approx(0.030156).margin(5e-7));  // of the problem, not of the tool
  CHECK(R == Approx(12.06).margin(5e-3));
  auto circuit = tests::ideal_motor(12, R, 1e-3, K, 2e-6, 0);
  check_published_share({"motor at 12 V: speed without load", "rpm", handbook},
                        tests::after_pulse(circuit, 2).speed() / rpm, 3800, 1e-5);
  check_published_share({"motor at 12 V: torque at standstill", "N·m", handbook}, K * standstill_current(circuit), 0.030,
                        1e-9);
  tests::load_steadily(circuit.doors[0], 0.010263);
  const auto loaded = tests::after_pulse(circuit, 2);
  check_published_share({"motor at 12 V, 10.263 mN·m: speed", "rpm", handbook}, loaded.speed() / rpm, 2500, 1e-4);
  check_published({"motor at 12 V, 10.263 mN·m: current", "A", handbook}, loaded.current(), 0.3403, 1e-4);
  check_published({"motor at 12 V, 10.263 mN·m: power out", "W", handbook}, 0.010263 * loaded.speed(), 2.687, 1e-3);
  check_published({"motor at 12 V, 10.263 mN·m: power in", "W", handbook}, 12 * loaded.current(), 4.084, 1e-3);
}

// Handbook relation: the best efficiency is (1 - sqrt(I0/Is))², at the current sqrt(I0 Is). With R 2 ohm, 12
// V and a no-load current of 0.25 A: 0.6334 at 1.2247 A.
TEST_CASE("published motor: best efficiency", "[published][motor]") {
  const double K = 0.01, idle_A = 0.25;
  const auto efficiency = [&](double current) {
    auto circuit = tests::ideal_motor(12, 2, 1e-3, K, 1e-6, 0);
    circuit.doors[0].motor.friction_25 = K * idle_A;
    const double torque = K * (current - idle_A);
    tests::load_steadily(circuit.doors[0], torque);
    const auto last = tests::after_pulse(circuit, 2);
    CHECK(last.current() == Approx(current).epsilon(1e-4));
    return torque * last.speed() / (12 * last.current());
  };
  const double best = efficiency(1.2247);
  check_published({"motor at 12 V, 1.2247 A: best efficiency", "1", "handbook relation (computed)"}, best, 0.6334, 1e-4);
  CHECK(efficiency(1.1) < best);
  CHECK(efficiency(1.35) < best);
}

// Hot motor, application-note arithmetic: winding 100 degC and ferrite 80 degC against 20 degC, copper 0.393
// %/K and ferrite -0.2 %/K, both of their values at 20 degC: R x 1.314, K x 0.88, stall torque x 0.670,
// no-load speed x 1.136.
TEST_CASE("published motor: a hot motor", "[published][motor]") {
  const auto circuit = tests::ideal_motor(12, 2, 1e-3, 0.01, 1e-6, 0);
  physics::MotorLaw motor = circuit.doors[0].motor;
  motor.magnet_drift_per_K = -0.002 / (1 + -0.002 * 5);  // of the value at 25 degC
  const double R = motor.winding_ohm(100) / motor.winding_ohm(20);
  const double K = motor.torque_constant(80) / motor.torque_constant(20);
  check_published({"hot motor: resistance over cold", "1", hot_motor}, R, 1.314, 5e-4);
  check_published({"hot motor: torque constant over cold", "1", hot_motor}, K, 0.88, 1e-9);
  check_published({"hot motor: torque at standstill over cold", "1", hot_motor}, K / R, 0.670, 6e-4);
  check_published({"hot motor: speed without load over cold", "1", hot_motor}, 1 / K, 1.136, 5e-4);
  CHECK(motor.winding_ohm(60) - motor.winding_ohm(50) ==
        Approx(10 * motor.winding_ohm_per_K()).epsilon(1e-9));
}

// Application-note coil: 4.3 ohm at 22 degC, 0.76 A, 28 K/W to the surroundings, copper 0.39 %/K at 22 degC:
// 117.42 degC in 22 degC, 142.12 degC in 40 degC. (0.393 %/K at 20 degC is 0.38994 %/K at 22 degC.)
TEST_CASE("published motor: a coil under constant current", "[published][motor]") {
  model::Thermal thermal = tests::frozen_thermal();
  thermal.winding_J_per_K = 10;
  thermal.winding_to_case_K_per_W = 28;
  const physics::HeatNetwork network(thermal, tests::ptc_heat(1, 1));
  physics::MotorLaw motor = tests::ideal_motor(12, 2, 1e-3, 0.01, 1e-6, 0).doors[0].motor;
  motor.resistance_25 *= 4.3 / motor.winding_ohm(22);
  CHECK(motor.winding_ohm(22) == Approx(4.3).epsilon(1e-12));
  for (const auto& [ambient, want] : {std::pair{22.0, 117.42}, std::pair{40.0, 142.12}}) {
    std::vector<double> T(heat_nodes, ambient);
    const auto rates = [&, ambient = ambient](const std::vector<double>& x, std::vector<double>& dxdt) {
      const double heat[heat_nodes] = {0.76 * 0.76 * motor.winding_ohm(x[physics::winding]), 0, 0, 0, 0};
      network.rates(x.data(), heat, ambient, dxdt.data());
    };
    for (int k = 0; k < 10000; ++k) tests::runge_kutta_step(T, 1, rates);
    check_published({"coil of 4.3 ohm at 0.76 A: temperature", "°C", warm_coil}, T[physics::winding], want, 0.03);
  }
}

// Two-node motor model of the handbooks: 8 and 30 J/K, 8 and 18 K/W, 10 W in the winding. Time
// constants 49.476 and 698.52 s; rises 50.3932/6.30456 K at 60 s, 169.6616/97.9389 K at 600 s, 260/180 K for
// ever (computed).
TEST_CASE("published motor: two nodes", "[published][motor]") {
  model::Thermal thermal = tests::frozen_thermal();
  thermal.winding_J_per_K = 8;
  thermal.case_J_per_K = 30;
  thermal.winding_to_case_K_per_W = 8;
  thermal.case_to_housing_K_per_W = 18;
  auto circuit = tests::worked_circuit({12.6, 25});
  circuit.doors[0].heat = physics::HeatNetwork(thermal, tests::ptc_heat(1, 1));
  // For ever: the rates are nil where 10 W keep up 260 and 180 K.
  double steady[heat_nodes] = {25, 25, 25, 25, 25}, heat[heat_nodes] = {};
  steady[physics::winding] += 260;
  steady[physics::motor_case] += 180;
  heat[physics::winding] = 10;
  double rates[heat_nodes];
  circuit.doors[0].heat.rates(steady, heat, 25, rates);
  for (const double rate : rates) CHECK(rate == Approx(0).margin(1e-9));
  // The network is linear: what is still missing of the steady rises decays as in a rest.
  const sim::Rest rest(circuit);
  std::vector<double> missing(heat_nodes, 25.0);
  missing[physics::winding] -= 260;
  missing[physics::motor_case] -= 180;
  const struct {
    double seconds, winding, motor_case;
  } rows[] = {{60, 50.3932, 6.30456}, {600, 169.6616, 97.9389}};
  for (const auto& row : rows) {
    std::vector<double> left;
    rest.after(missing, row.seconds, left);
    check_published({"motor of two nodes at 10 W: rise of the winding", "K", two_nodes},
                    260 + left[physics::winding] - 25, row.winding, 1e-4);
    check_published({"motor of two nodes at 10 W: rise of the case", "K", two_nodes},
                    180 + left[physics::motor_case] - 25, row.motor_case, 1e-4);
  }
  // Late in a rest only the slow exponential is left; what a start along it lacks is the quick one.
  std::vector<double> late, later;
  rest.after(missing, 1000, late);
  rest.after(missing, 1100, later);
  check_published({"motor of two nodes: slow time constant", "s", two_nodes},
                  -100 / std::log((later[0] - 25) / (late[0] - 25)), 698.52, 0.01);
  std::vector<double> quick(heat_nodes, 25.0), after;
  const double ratio = (late[physics::motor_case] - 25) / (late[0] - 25);  // case to winding in the slow mode
  quick[physics::winding] = 25 + 10;
  quick[physics::motor_case] = 25 - 10 * 8 / (30 * ratio);  // modes are orthogonal in heat capacity
  rest.after(quick, 20, after);
  check_published({"motor of two nodes: quick time constant", "s", two_nodes}, -20 / std::log((after[0] - 25) / 10),
                  49.476, 1e-3);
}
