// SPDX-License-Identifier: GPL-3.0-or-later
// What the model says of an actuator that waits to cool.
#include <catch2/catch.hpp>
#include <cmath>

#include "base/failure.h"
#include "sim/stall.h"
#include "support/bench_actuators.h"

using namespace latchwright;
using bench::State;
using tests::chance_of;

namespace {

/// Rest until half of the cold force is back, by Euler's method on the heat network: another route than the
/// exact rests of the engine.
double regains_by_euler(const bench::Member& member, std::vector<double> T, double step_s) {
  const auto& door = member.door();
  const double volts = member.circuit.source_V - door.motor.brush_drop;
  const auto torque = [&](const std::vector<double>& at) {
    const double ohm = door.motor.resistance_25 * (1 + physics::copper_a25 * (at[physics::winding] - 25)) +
                       door.ptc.resistance_25 * door.ptc.curve->ratio(at[physics::ptc]);
    return door.motor.torque_constant(at[physics::motor_case]) * volts / ohm -
           door.motor.friction(at[physics::housing]);
  };
  const double cold = torque(std::vector<double>(physics::heat_nodes, member.ambient_C()));
  const double none[physics::heat_nodes] = {};
  double rate[physics::heat_nodes];
  double t = 0;
  for (; torque(T) < 0.5 * cold; t += step_s) {
    door.heat.rates(T.data(), none, member.ambient_C(), rate);
    for (std::size_t n = 0; n < physics::heat_nodes; ++n) T[n] += step_s * rate[n];
  }
  return t;
}

class Stopped final : public base::Progress {
 public:
  void report(double, std::string_view) override {}
  bool cancelled() const override { return true; }
};

}  // namespace

TEST_CASE("triage: the wait after a trip by another route", "[bench]") {
  tests::Insides insides(tests::bench_actuator("act-ordinary-2w"));
  const auto& story = insides.waiting.after_trip();
  for (const std::size_t k : {0u, 17u, 90u, 200u}) {
    REQUIRE(story[k].regains_s > 1);
    CHECK(story[k].regains_s ==
          Approx(regains_by_euler(insides.members[k], story[k].T_C, 1e-3)).epsilon(2e-3));
  }
}

TEST_CASE("triage: members fill the part's tolerance evenly", "[bench]") {
  bench::Readings readings;
  readings.ambient_C = 25;
  const auto part = tests::bench_actuator("act-ordinary-ceramic");  // its thermistor keeps its resistance
  const tests::Insides insides(part, readings);
  double low = 1e9, high = 0, mean = 0;
  for (const auto& member : insides.members) {
    low = std::min(low, member.thermistor_ohm);
    high = std::max(high, member.thermistor_ohm);
    mean += member.thermistor_ohm / static_cast<double>(insides.members.size());
    CHECK(member.ambient_C() == 25);
    CHECK(member.meter_ohm >= 0.1);
    CHECK(member.meter_ohm <= 0.5);
  }
  // 0.8 ohm within 25 % at 25 degC.
  CHECK(low == Approx(0.6).margin(0.005));
  CHECK(high == Approx(1.0).margin(0.005));
  CHECK(mean == Approx(0.8).margin(0.004));
}

TEST_CASE("triage: a longer rest makes waiting less likely", "[bench]") {
  const auto part = tests::bench_actuator("act-ordinary-2w");
  bench::Readings readings;
  readings.moves = bench::Moves::neither;
  readings.ambient_C = 23;
  double before = 1;
  for (const double idle : {0.0, 0.1, 0.25, 0.5, 1.0, 2.0, 5.0, 12.0, 60.0}) {
    readings.idle_min = idle;
    const double now = chance_of(tests::triage_of(part, readings), State::waiting);
    CHECK(now <= before + 1e-12);
    before = now;
  }
  CHECK(before < 0.05);
  readings.idle_min = 0;
  CHECK(chance_of(tests::triage_of(part, readings), State::waiting) > 0.5);
}

TEST_CASE("triage: few throws do not make it wait", "[bench]") {
  const auto part = tests::bench_actuator("act-ordinary-2w");
  bench::Readings readings;
  readings.moves = bench::Moves::neither;
  readings.ambient_C = 23;
  readings.idle_min = 0;
  readings.used = 1;
  const double few = chance_of(tests::triage_of(part, readings), State::waiting);
  readings.used = 60;
  const double many = chance_of(tests::triage_of(part, readings), State::waiting);
  CHECK(few < 0.1);
  CHECK(many > 0.6);
}

TEST_CASE("triage: the wait shrinks by what has passed", "[bench]") {
  const auto part = tests::bench_actuator("act-ordinary-2w");
  bench::Readings readings;
  readings.ambient_C = 30;
  readings.used = 40;
  readings.idle_min = 0;
  const auto at_once = tests::triage_of(part, readings).wait;
  REQUIRE(at_once);
  CHECK(at_once->low <= at_once->s);
  CHECK(at_once->s <= at_once->high);
  REQUIRE(at_once->s > 4);
  readings.idle_min = 3.0 / 60;
  const auto later = tests::triage_of(part, readings).wait;
  REQUIRE(later);
  CHECK(later->s == Approx(at_once->s - 3).margin(1e-9));
  CHECK(later->high == Approx(at_once->high - 3).margin(1e-9));
  readings.idle_min = 60;
  const auto cold = tests::triage_of(part, readings);
  CHECK((!cold.wait || cold.wait->high == 0));
}

TEST_CASE("triage: the same readings give the same bytes", "[bench]") {
  const auto part = tests::bench_actuator("act-heavy-5w-copper");
  bench::Readings readings;
  readings.leads_ohm = 14;
  readings.idle_min = 0.5;
  readings.current_A = 0.7;
  const auto one = tests::triage_of(part, readings), other = tests::triage_of(part, readings);
  REQUIRE(one.states.size() == other.states.size());
  for (std::size_t k = 0; k < one.states.size(); ++k) {
    CHECK(one.states[k].state == other.states[k].state);
    CHECK(one.states[k].likelihood == other.states[k].likelihood);
    CHECK(one.states[k].why == other.states[k].why);
  }
  REQUIRE(one.wait.has_value() == other.wait.has_value());
  if (one.wait) CHECK(one.wait->s == other.wait->s);
}

TEST_CASE("triage: can be stopped", "[bench]") {
  const auto part = tests::bench_actuator("act-ordinary-2w");
  Stopped stopped;
  CHECK_THROWS_AS(bench::triage(part.actuator, part.curve, {}, stopped), base::Cancelled);
}

TEST_CASE("triage: a thermistor too large to trip does not wait", "[bench]") {
  const auto part = tests::bench_actuator("act-oversized-thermistor");
  bench::Readings readings;
  readings.ambient_C = 23;
  CHECK(chance_of(tests::triage_of(part, readings), State::waiting) < 0.5 * bench::priors(2)[1]);
  // What the engine says of the part itself.
  const auto circuit =
      sim::make_bench_circuit(part.actuator, part.curve, {.voltage_V = 12.6, .ambient_C = 23});
  base::NoProgress quiet;
  CHECK(!sim::simulate_stall(circuit, 300, {}, quiet).front().trip_time_s);
}
