// SPDX-License-Identifier: GPL-3.0-or-later
// Stall studies, docs/model.md section 5: what trips, what does not, and the hold current, against brute
// force.
#include <catch2/catch.hpp>
#include <cmath>

#include "sim/stall.h"
#include "support/plain_stall.h"

using namespace latchwright;
using sim::LimitedBy;
using tests::Changes;
using tests::worked_actuator;

namespace {

const std::string ptc = worked_actuator + "/ptc";
const std::string thermal = worked_actuator + "/thermal";

// Shape of a ceramic thermistor: falls before it rises (invented values).
const char* const ceramic =
    R"({"T_C": [25, 60, 85, 105, 120, 130, 140, 150, 160], "ratio": [1, 0.8, 0.7, 0.9, 1.4, 8, 60, 400, 2000]})";

struct Both {
  sim::DoorStall engine;
  tests::PlainStall plain;
};

Both both(const sim::Condition& at, const Changes& changes, double limit_s, double step_s = 2e-3) {
  const auto study = tests::worked_study(1, changes);
  const auto circuit = sim::make_circuit(study, at);
  base::NoProgress progress;
  Both result{sim::simulate_stall(circuit, limit_s, {}, progress).at(0),
              tests::plain_stall(circuit, study.actuator(0), limit_s, step_s)};
  CHECK(result.engine.initial_current_A == Approx(result.plain.initial_A).epsilon(1e-9));
  CHECK(result.engine.final_current_A == Approx(result.plain.final_A).epsilon(2e-4));
  CHECK(result.engine.peak_winding_C == Approx(result.plain.peak_winding_C).margin(0.03));
  return result;
}

/// Hold current by its definition: up from 0 in small steps of thermistor temperature, until the steady
/// current would fall or the resistance passes twice its smallest from 25 degC upward. none: the table ends
/// first.
std::optional<double> scanned_hold(const physics::Thermistor& thermistor, double K_per_W, double ambient_C) {
  constexpr double step = 1e-3;
  double smallest = 1e300;
  for (double T = 25; T <= thermistor.curve->last_T_C(); T += step) {
    smallest = std::min(smallest, thermistor.curve->ratio(T));
  }
  double held = 0;
  for (double T = ambient_C; T <= thermistor.curve->last_T_C(); T += step) {
    const double ratio = thermistor.curve->ratio(T);
    const double current = std::sqrt((T - ambient_C) / (K_per_W * thermistor.resistance_25 * ratio));
    if (current < held || (ratio > 2 * smallest && T > 25)) return held;
    held = current;
  }
  return std::nullopt;
}

}  // namespace

TEST_CASE("stall: the copper alone halves the current", "[sim][stall]") {
  // A plain resistor instead of a thermistor, and a winding that keeps its heat.
  const auto result = both(
      {14.4, 23}, {{ptc + "/curve", tests::flat_curve}, {thermal + "/winding_to_case_K_per_W", "60"}}, 200);
  REQUIRE(result.plain.halved_s.has_value());
  REQUIRE_FALSE(result.plain.tripped_s.has_value());
  CHECK(result.engine.limited_by == LimitedBy::winding);
  CHECK_FALSE(result.engine.trip_time_s.has_value());
  CHECK_FALSE(result.engine.hold_current_A.has_value());
  CHECK(result.engine.final_current_A < 0.5 * result.engine.initial_current_A);
}

TEST_CASE("stall: nothing halves the current", "[sim][stall]") {
  const auto flat =
      both({12.6, 23},
           {{ptc + "/curve", tests::flat_curve}, {worked_actuator + "/motor/resistance_ohm", "12"}}, 600);
  CHECK(flat.engine.limited_by == LimitedBy::nothing);
  CHECK_FALSE(flat.engine.trip_time_s.has_value());
  const auto brief = both({12.6, 23}, {}, 5.5);  // the worked case trips at 5.557 s
  CHECK(brief.engine.limited_by == LimitedBy::nothing);
  CHECK_FALSE(brief.engine.trip_time_s.has_value());
  const auto longer = both({12.6, 23}, {}, 5.6);
  CHECK(longer.engine.limited_by == LimitedBy::thermistor);
}

TEST_CASE("stall: the thermistor follows after the copper has halved the current", "[sim][stall]") {
  // A small hot winding and a large slow thermistor.
  const Changes changes = {{thermal + "/winding_J_per_K", "3"},
                           {thermal + "/winding_to_case_K_per_W", "30"},
                           {ptc + "/heat_J_per_K", "6"}};
  const auto result = both({14.4, 23}, changes, 600);
  REQUIRE(result.plain.halved_s.has_value());
  REQUIRE(result.plain.tripped_s.has_value());
  REQUIRE(*result.plain.tripped_s > *result.plain.halved_s + 1);
  CHECK(result.engine.limited_by == LimitedBy::thermistor);
  REQUIRE(result.engine.trip_time_s.has_value());
  CHECK(*result.engine.trip_time_s == Approx(*result.plain.tripped_s).epsilon(1e-3));
  // Ended in between, the same stall counts as the copper's doing.
  const double between = 0.5 * (*result.plain.halved_s + *result.plain.tripped_s);
  CHECK(both({14.4, 23}, changes, between).engine.limited_by == LimitedBy::winding);
}

TEST_CASE("stall: trips against brute force", "[sim][stall]") {
  for (const double ambient : {-20.0, 23.0, 60.0}) {
    CAPTURE(ambient);
    const auto polymer = both({13.2, ambient}, {}, 60);
    REQUIRE(polymer.engine.trip_time_s.has_value());
    CHECK(*polymer.engine.trip_time_s == Approx(*polymer.plain.tripped_s).margin(2.1e-3));
    const auto again = both({13.2, ambient, true}, {{ptc + "/after_trip_ratio", "1.7"}}, 60);
    CHECK(*again.engine.trip_time_s == Approx(*again.plain.tripped_s).margin(2.1e-3));
    CHECK(*again.engine.trip_time_s < *polymer.engine.trip_time_s);
  }
}

TEST_CASE("stall: a ceramic thermistor falls before it rises", "[sim][stall]") {
  const Changes changes = {
      {ptc + "/curve", ceramic}, {ptc + "/resistance_ohm", "1.2"}, {ptc + "/heat_J_per_K", "2"}};
  const auto result = both({13.2, 23}, changes, 120);
  CHECK(result.plain.peak_A > 1.01 * result.plain.initial_A);
  REQUIRE(result.engine.trip_time_s.has_value());
  CHECK(*result.engine.trip_time_s == Approx(*result.plain.tripped_s).margin(2.1e-3));
  CHECK(result.engine.limited_by == LimitedBy::thermistor);
  CHECK_FALSE(result.engine.beyond_table);
}

TEST_CASE("stall: a table that ends too early is beyond itself", "[sim][stall]") {
  const char* const short_curve = R"({"T_C": [-40, 25, 60, 80], "ratio": [0.8, 1, 1.3, 1.7]})";
  const auto result = both({12.6, 23}, {{ptc + "/curve", short_curve}}, 60);
  CHECK(result.engine.beyond_table);
  CHECK_FALSE(result.engine.hold_current_A.has_value());
}

TEST_CASE("stall: hold current against a scan", "[sim][stall]") {
  // Thermistor to housing by 18 mW/K and by way of the case, housing to ambient 5 K/W; the armature carries
  // nothing.
  const double K_per_W = 1 / (0.018 + 1 / (1 / 0.005 + 6)) + 5;
  for (const char* curve : {"", ceramic}) {
    for (const double ambient : {-40.0, -20.0, 23.0, 50.0, 75.0}) {
      CAPTURE(curve, ambient);
      Changes changes;
      if (*curve) changes.push_back({ptc + "/curve", curve});
      const auto circuit = tests::worked_circuit({12.6, ambient}, 1, changes);
      base::NoProgress progress;
      const auto have = sim::simulate_stall(circuit, 0.01, {}, progress)[0].hold_current_A;
      const auto want = scanned_hold(circuit.doors[0].ptc, K_per_W, ambient);
      REQUIRE(want.has_value());
      REQUIRE(have.has_value());
      CHECK(*have == Approx(*want).epsilon(1e-4));
    }
  }
}

TEST_CASE("stall: doors share the supply", "[sim][stall]") {
  base::NoProgress progress;
  const auto alone = sim::simulate_stall(tests::worked_circuit({12.6, 23}), 60, {}, progress);
  auto together_circuit = tests::worked_circuit({12.6, 23}, 3);
  const auto together = sim::simulate_stall(together_circuit, 60, {}, progress);
  // Three equal doors on R_s are one door on three times R_s.
  auto stand_in = tests::worked_circuit({12.6, 23});
  stand_in.shared_ohm *= 3;
  const auto one = sim::simulate_stall(stand_in, 60, {}, progress);
  for (const auto& door : together) {
    CHECK(door.initial_current_A < alone[0].initial_current_A);
    CHECK(door.initial_current_A == Approx(one[0].initial_current_A).epsilon(1e-9));
    CHECK(*door.trip_time_s == Approx(*one[0].trip_time_s).epsilon(1e-5));
    CHECK(*door.trip_time_s > *alone[0].trip_time_s);
  }
}
