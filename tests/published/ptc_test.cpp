// SPDX-License-Identifier: GPL-3.0-or-later
// Thermistors against the definitions of IEC 60738-1 and first-order theory.
#include <catch2/catch.hpp>
#include <cmath>

#include "sim/stall.h"
#include "support/ideal.h"
#include "support/published.h"

using namespace latchwright;
using tests::check_published;
using tests::check_published_share;

namespace {

// Shapes of the two kinds (invented values in the range of published curves).
const std::vector<double> polymer_T = {-40, 25, 60, 85, 100, 115, 120, 125, 130};
const std::vector<double> polymer_ratio = {0.9, 1, 1.3, 1.8, 3, 10, 100, 1e3, 1e4};
const std::vector<double> ceramic_T = {25, 60, 85, 105, 120, 130, 140, 150, 160};
const std::vector<double> ceramic_ratio = {1, 0.8, 0.7, 0.9, 1.4, 8, 60, 400, 2000};

constexpr double reference_C = 120, ambient_C = 25, dissipation = 0.02, tau = 50;  // degC, W/K, s

const char* const definition = "IEC 60738-1, definition";
const char* const first_order = "first-order theory; switching time by IEC 60738-1";

/// A thermistor of constant resistance that switches at reference_C within 0.01 K, in front of a motor that
/// does not warm; at a supply voltage that drives `multiple` times the current that just holds it at
/// reference_C.
sim::Circuit switching(double multiple) {
  sim::Circuit circuit = tests::ideal_motor(1, 5, 1e-3, 0.01, 1e-6, 0);
  sim::DoorCircuit& door = circuit.doors[0];
  door.ptc.resistance_25 = 0.2;
  door.ptc.curve = tests::curve_of({-40, 25, reference_C, reference_C + 0.01, 400}, {1, 1, 1, 1e5, 1e6});
  door.heat = physics::HeatNetwork(tests::frozen_thermal(), tests::ptc_heat(dissipation * tau, dissipation));
  const double holding = std::sqrt(dissipation * (reference_C - ambient_C) / door.ptc.resistance_25);
  circuit.at.voltage_V = circuit.source_V = multiple * holding / sim::ambient_stall_currents(circuit)[0];
  return circuit;
}

}  // namespace

// IEC 60738-1: the switch temperature is where the resistance has risen to twice its smallest value.
TEST_CASE("published thermistor: switch temperature", "[published][ptc]") {
  const auto polymer = tests::curve_of(polymer_T, polymer_ratio);
  REQUIRE(polymer->switch_T_C().has_value());
  CHECK(polymer->smallest_ratio() == Approx(1));  // from 25 degC upward
  CHECK(polymer->ratio(*polymer->switch_T_C()) == Approx(2));
  CHECK(*polymer->switch_T_C() > 85);
  CHECK(*polymer->switch_T_C() < 100);
  // 0.7 at 85 degC, and twice that at 120 degC: the reference temperature such discs are sold by.
  const auto ceramic = tests::curve_of(ceramic_T, ceramic_ratio);
  REQUIRE(ceramic->switch_T_C().has_value());
  CHECK(ceramic->smallest_ratio() == Approx(0.7));
  check_published({"ceramic disc: switch temperature", "°C", definition}, *ceramic->switch_T_C(), 120, 1e-6);
}

// IEC 60738-1: temperature coefficient alpha = 100 ln(R2/R1)/(T2 - T1) %/K. A curve of constant alpha keeps
// it.
TEST_CASE("published thermistor: temperature coefficient", "[published][ptc]") {
  std::vector<double> T, ratio;
  for (const double x : {25.0, 60.0, 90.0, 110.0, 130.0}) {
    T.push_back(x);
    ratio.push_back(std::exp(0.05 * (x - 25)));  // 5 %/K
  }
  const auto curve = tests::curve_of(T, ratio);
  for (double x = 26; x < 130; x += 7.3) {
    const tests::Published alpha{"thermistor: temperature coefficient of a curve of 5 %/K", "%/K", definition};
    check_published_share(alpha, 100 * curve->log_ratio(x).slope, 5, 1e-9);
    check_published_share(alpha, 100 * std::log(curve->ratio(x) / curve->ratio(x - 1)), 5, 1e-9);
  }
}

// IEC 60738-1: dissipation factor delta = P/(T - T_a), thermal time constant tau = C/delta.
TEST_CASE("published thermistor: dissipation factor and time constant", "[published][ptc]") {
  auto circuit = switching(0.5);  // a quarter of the power that reaches the reference temperature
  base::NoProgress progress;
  const auto& door = circuit.doors[0];
  const auto settled = sim::simulate_stall(circuit, 40 * tau, {}, progress)[0];
  const double power = settled.final_current_A * settled.final_current_A * door.ptc.resistance_25;
  check_published_share({"thermistor: dissipation factor", "W/K", definition},
                        power / (settled.final_C[physics::ptc] - ambient_C), dissipation, 1e-6);
  const auto once = sim::simulate_stall(circuit, tau, {}, progress)[0];
  check_published_share({"thermistor: share of its rise after one time constant", "1", definition},
                        (once.final_C[physics::ptc] - ambient_C) / (settled.final_C[physics::ptc] - ambient_C),
                        1 - std::exp(-1.0), 1e-5);
}

// First-order theory: a constant current I trips at t = -tau ln(1 - (I_t/I)²), I_t the current that just
// holds the thermistor at its reference temperature. Switching time to half the initial current: IEC 60738-1.
TEST_CASE("published thermistor: switching time", "[published][ptc]") {
  const struct { double multiple, of_tau; } rows[] = {{5, 0.0408}, {2, 0.2877}, {1.5, 0.5878}};
  base::NoProgress progress;
  for (const auto& row : rows) {
    CAPTURE(row.multiple);
    const double theory = -std::log(1 - 1 / (row.multiple * row.multiple));
    CHECK(theory == Approx(row.of_tau).margin(5e-5));
    const auto stall = sim::simulate_stall(switching(row.multiple), 60, {}, progress)[0];
    REQUIRE(stall.trip_time_s.has_value());
    CHECK(stall.limited_by == sim::LimitedBy::thermistor);
    check_published_share({"thermistor: switching time", "s", first_order}, *stall.trip_time_s, tau * theory, 1e-3);
  }
}

// IEC 60738-1: non-trip current (held for ever) and trip current (always trips). For a thermistor that
// switches at one temperature both come together, at sqrt(delta (T_ref - T_a)/R).
TEST_CASE("published thermistor: non-trip and trip current", "[published][ptc]") {
  base::NoProgress progress;
  const auto circuit = switching(1);
  const double holding =
      std::sqrt(dissipation * (reference_C - ambient_C) / circuit.doors[0].ptc.resistance_25);
  const auto below = sim::simulate_stall(switching(0.995), 20 * tau, {}, progress)[0];
  const auto above = sim::simulate_stall(switching(1.005), 20 * tau, {}, progress)[0];
  REQUIRE(below.hold_current_A.has_value());
  // The network's path from thermistor to ambient goes on past the frozen housing: 1 K/W on top of 50.
  check_published_share({"thermistor that switches at one temperature: non-trip current", "A", definition},
                        *below.hold_current_A * std::sqrt(51.0 / 50), holding, 1e-3);
  CHECK_FALSE(below.trip_time_s.has_value());
  CHECK(above.trip_time_s.has_value());
}
