// SPDX-License-Identifier: GPL-3.0-or-later
// The engine against closed solutions of docs/model.md sections 2 to 4 and against brute force.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <complex>
#include <random>

#include "sim/rest.h"
#include "sim/stall.h"
#include "support/ideal.h"

using namespace latchwright;
using physics::heat_nodes;

namespace {

/// Winding and case as two nodes against a housing that stays at ambient.
struct TwoNodes {
  double C1 = 8, C2 = 30, R12 = 8, R2 = 18;  // J/K, K/W

  physics::HeatNetwork network() const {
    model::Thermal t = tests::frozen_thermal();
    t.winding_J_per_K = C1;
    t.case_J_per_K = C2;
    t.winding_to_case_K_per_W = R12;
    t.case_to_housing_K_per_W = R2;
    return physics::HeatNetwork(t, tests::ptc_heat(1, 1));
  }
  /// Both decay rates, 1/s: roots of the characteristic polynomial.
  std::pair<double, double> rates() const {
    const double a = 1 / (C1 * R12), b = 1 / (C2 * R12) + 1 / (C2 * R2), c = 1 / (C1 * R12 * C2 * R2);
    const double half = 0.5 * (a + b), root = std::sqrt(half * half - c);
    return {half + root, half - root};
  }
  /// Rises after t from rises u, v, with P watts in the winding: both exponentials fitted to value and slope.
  std::pair<double, double> rises(double P, double u, double v, double t) const {
    const auto [fast, slow] = rates();
    const double u_end = P * (R12 + R2), v_end = P * R2;
    const double u_slope = (P - (u - v) / R12) / C1, v_slope = ((u - v) / R12 - v / R2) / C2;
    const auto one = [&, fast = fast, slow = slow](double now, double slope, double end) {
      const double a = (slope + slow * (now - end)) / (slow - fast), b = (now - end) - a;
      return end + a * std::exp(-fast * t) + b * std::exp(-slow * t);
    };
    return {one(u, u_slope, u_end), one(v, v_slope, v_end)};
  }
};

}  // namespace

TEST_CASE("closed forms: two nodes heated", "[sim][closed]") {
  const TwoNodes nodes;
  const auto network = nodes.network();
  const double ambient = 25, power = 10;
  std::vector<double> T(heat_nodes, ambient);
  const auto rates = [&](const std::vector<double>& x, std::vector<double>& dxdt) {
    const double heat[heat_nodes] = {power, 0, 0, 0, 0};
    network.rates(x.data(), heat, ambient, dxdt.data());
  };
  for (int k = 1; k <= 6000; ++k) {
    tests::runge_kutta_step(T, 0.1, rates);
    if (k != 50 && k != 600 && k != 6000) continue;
    const auto [u, v] = nodes.rises(power, 0, 0, 0.1 * k);
    CAPTURE(k);
    CHECK(T[physics::winding] - ambient == Approx(u).epsilon(1e-6));
    CHECK(T[physics::motor_case] - ambient == Approx(v).epsilon(1e-6));
  }
}

TEST_CASE("closed forms: two nodes at rest", "[sim][closed]") {
  const TwoNodes nodes;
  sim::Circuit circuit = tests::worked_circuit({12.6, 40});
  circuit.doors[0].heat = nodes.network();
  const sim::Rest rest(circuit);
  std::vector<double> T(heat_nodes, 40.0), out;
  T[physics::winding] = 40 + 83;
  T[physics::motor_case] = 40 + 12;
  for (const double t : {0.0, 0.01, 1.0, 49.476, 300.0, 3000.0}) {
    CAPTURE(t);
    rest.after(T, t, out);
    const auto [u, v] = nodes.rises(0, 83, 12, t);
    CHECK(out[physics::winding] == Approx(40 + u).margin(1e-6));
    CHECK(out[physics::motor_case] == Approx(40 + v).margin(1e-6));
    CHECK(out[physics::housing] == Approx(40).margin(1e-6));
  }
}

TEST_CASE("closed forms: rests add up, and all heat ends at ambient", "[sim][closed]") {
  const auto circuit = tests::worked_circuit({12.6, 23}, 2);
  const sim::Rest rest(circuit);
  std::vector<double> T = {90, 23, 45, 130, 30, 23, 23, 23, 80, 24}, once, twice;
  rest.after(T, 7.3, once);
  rest.after(T, 2.1, twice);
  rest.after(twice, 5.2, twice);
  for (std::size_t n = 0; n < T.size(); ++n) {
    if (n % heat_nodes != physics::core) CHECK(once[n] == Approx(twice[n]).margin(1e-9));
  }
  rest.after(T, 40 * rest.slowest_s(), once);
  for (std::size_t n = 0; n < T.size(); ++n) {
    if (n % heat_nodes != physics::core) CHECK(once[n] == Approx(23).margin(1e-9));
  }
}

TEST_CASE("closed forms: a thermistor alone cools by one exponential", "[sim][closed]") {
  sim::Circuit circuit = tests::worked_circuit({12.6, 23});
  circuit.doors[0].heat = physics::HeatNetwork(tests::frozen_thermal(), tests::ptc_heat(0.6, 0.018, 0.005));
  const sim::Rest rest(circuit);
  std::vector<double> T(heat_nodes, 23.0), out;
  T[physics::ptc] = 125;
  for (const double t : {0.5, 26.0, 100.0}) {
    rest.after(T, t, out);
    CHECK(out[physics::ptc] == Approx(23 + 102 * std::exp(-t * 0.023 / 0.6)).margin(1e-6));
  }
}

TEST_CASE("closed forms: a thermistor of constant resistance heats by one exponential", "[sim][closed]") {
  sim::Circuit circuit = tests::ideal_motor(12, 6, 1e-3, 0.01, 1e-6, 0);
  sim::DoorCircuit& door = circuit.doors[0];
  door.ptc.curve = tests::curve_of({-40, 25, 100, 300}, {1, 1, 1, 1});
  door.heat = physics::HeatNetwork(tests::frozen_thermal(), tests::ptc_heat(0.6, 0.018, 0.005));
  base::NoProgress progress;
  for (const double t : {0.3, 5.0, 26.0, 200.0}) {
    CAPTURE(t);
    const auto stall = sim::simulate_stall(circuit, t, {}, progress);
    // 2 A through 0.6 ohm.
    CHECK(stall[0].final_current_A == Approx(2).epsilon(1e-9));
    CHECK(stall[0].final_C[physics::ptc] ==
          Approx(25 + 2.4 / 0.023 * (1 - std::exp(-t * 0.023 / 0.6))).margin(1e-3));
  }
}

TEST_CASE("closed forms: a linear motor starts", "[sim][closed]") {
  struct Motor {
    double V, R, L, K, J, b;
  };
  // Two real poles; two complex ones (a light rotor behind much inductance); viscous friction.
  const Motor motors[] = {{12, 2.4, 1.2e-3, 0.0095, 1.2e-6, 0},
                          {12, 2.4, 20e-3, 0.012, 0.6e-6, 0},
                          {9, 1.7, 2e-3, 0.011, 0.8e-6, 2e-6}};
  for (const Motor& m : motors) {
    const auto circuit = tests::ideal_motor(m.V, m.R, m.L, m.K, m.J, m.b);
    // i' = (V - R i - K w)/L, w' = (K i - b w)/J: poles of s² + (R/L + b/J) s + (R b + K²)/(L J).
    using Complex = std::complex<double>;
    const Complex half = 0.5 * (m.R / m.L + m.b / m.J);
    const Complex root = std::sqrt(half * half - (m.R * m.b + m.K * m.K) / (m.L * m.J));
    const Complex p = -half + root, q = -half - root;
    const double w_end = m.V * m.K / (m.R * m.b + m.K * m.K), i_end = w_end * m.b / m.K;
    const auto speed = [&](double t) {  // from w(0) = w'(0) = 0
      return w_end + (w_end * (q * std::exp(p * t) - p * std::exp(q * t)) / (p - q)).real();
    };
    const auto current = [&](double t) {  // from i(0) = 0, i'(0) = V/L
      const Complex a = (m.V / m.L + q * i_end) / (p - q), b = -i_end - a;
      return i_end + (a * std::exp(p * t) + b * std::exp(q * t)).real();
    };
    // With complex poles and b = 0 the current swings back to 0 half a period on; there the brushes block it,
    // and the rotor coasts on.
    const double blocked = root.imag() != 0 && m.b == 0 ? std::acos(-1.0) / std::fabs(root.imag()) : 1e9;
    for (const double until : {2e-4, 1e-3, 4e-3, 0.015, 0.06, 0.3}) {
      CAPTURE(m.L, until);
      const auto last = tests::after_pulse(circuit, until);
      const double t = std::min(until, blocked);
      CHECK(last.speed() == Approx(speed(t)).epsilon(1e-5).margin(0.01));
      CHECK(last.current() == Approx(current(t)).epsilon(1e-5).margin(1e-4));
    }
  }
}

TEST_CASE("closed forms: standstill currents against bisection on the node voltage", "[sim][closed]") {
  std::mt19937 random(20240607);
  const auto between = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  for (int trial = 0; trial < 300; ++trial) {
    const auto count = 1 + static_cast<std::size_t>(trial) % sim::most_doors;
    static const sim::Circuit twelve = tests::worked_circuit({12.6, 23}, static_cast<int>(sim::most_doors));
    sim::Circuit circuit = twelve;
    circuit.doors.erase(circuit.doors.begin() + static_cast<std::ptrdiff_t>(count), circuit.doors.end());
    circuit.source_V = between(-1, 16);
    circuit.shared_ohm = trial % 10 == 0 ? 0 : between(0.005, 1.5);
    std::vector<double> ohm(count), have(count);
    double smallest_drop = 1e9;
    for (std::size_t k = 0; k < count; ++k) {
      circuit.doors[k].motor.brush_drop = trial % 3 == 0 ? between(0, 9) : between(0, 2);
      smallest_drop = std::min(smallest_drop, circuit.doors[k].motor.brush_drop);
      ohm[k] = between(0.8, 40);
    }
    const auto sum = [&](double node) {
      double total = 0;
      for (std::size_t k = 0; k < count; ++k) {
        total += std::max(0.0, (node - circuit.doors[k].motor.brush_drop) / ohm[k]);
      }
      return total;
    };
    double low = -1, high = 16;  // node + R_s sum(node) grows with the node voltage
    for (int n = 0; n < 100; ++n) {
      const double half = 0.5 * (low + high);
      (half + circuit.shared_ohm * sum(half) > circuit.source_V ? high : low) = half;
    }
    sim::standstill_currents(circuit, ohm.data(), have.data());
    CAPTURE(trial, count, circuit.source_V);
    for (std::size_t k = 0; k < count; ++k) {
      CHECK(have[k] ==
            Approx(std::max(0.0, (low - circuit.doors[k].motor.brush_drop) / ohm[k])).margin(1e-9));
      if (circuit.source_V <= smallest_drop) CHECK(have[k] == 0);
    }
  }
}

TEST_CASE("closed forms: below every brush drop nothing flows", "[sim][closed]") {
  auto circuit = tests::worked_circuit({0.7, 23}, 3);
  base::NoProgress progress;
  for (const auto& door : sim::simulate_stall(circuit, 10, {}, progress)) {
    CHECK(door.initial_current_A == 0);
    CHECK(door.final_current_A == 0);
    CHECK(door.limited_by == sim::LimitedBy::nothing);
    CHECK_FALSE(door.trip_time_s.has_value());
    CHECK(door.peak_winding_C == Approx(23).margin(1e-9));
  }
}
