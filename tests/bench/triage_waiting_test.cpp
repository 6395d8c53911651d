// SPDX-License-Identifier: GPL-3.0-or-later
// What the model says of an actuator that waits to cool.
#include <catch2/catch.hpp>
#include <cmath>

#include "base/failure.h"
#include "bench/sheet.h"
#include "sim/pulse.h"
#include "sim/stall.h"
#include "support/bench_actuators.h"

using namespace latchwright;
using bench::State;
using tests::chance_of;

namespace {

/// Rest by Euler's method on the heat network, then a loaded throw: another route than the exact rests of the
/// engine.
bool moves_after(const bench::Member& member, std::vector<double> T, double rest_s) {
  constexpr double step_s = 1e-3;
  const auto& door = member.door();
  const double none[physics::heat_nodes] = {};
  double rate[physics::heat_nodes];
  for (double t = 0; t < rest_s; t += step_s) {
    door.heat.rates(T.data(), none, member.ambient_C(), rate);
    for (std::size_t n = 0; n < physics::heat_nodes; ++n) T[n] += step_s * rate[n];
  }
  return sim::PulseEngine(member.loaded).run(T, 0, 0.5, false, {}).front().has_value();
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
    CHECK(moves_after(insides.members[k], story[k].T_C, 1.02 * story[k].regains_s));
    CHECK(!moves_after(insides.members[k], story[k].T_C, 0.98 * story[k].regains_s));
  }
}

TEST_CASE("triage: the wait is what the sheet of a sound one says", "[bench][slow]") {
  for (const char* id : {"act-ordinary-2w", "act-heavy-5w-copper", "act-workshop-test"}) {
    const auto part = tests::bench_actuator(id);
    base::NoProgress quiet;
    const auto sheet = bench::make_sheet(part.actuator, part.curve, 18, 12.6, quiet);
    const auto row =
        std::find_if(sheet.readings.begin(), sheet.readings.end(),
                     [](const bench::Expected& each) { return each.name == "moves again after"; });
    REQUIRE(row != sheet.readings.end());
    REQUIRE(row->value);
    bench::Readings readings;
    readings.ambient_C = 18;
    readings.moves = bench::Moves::neither;
    const auto wait = tests::triage_of(part, readings).wait;
    INFO(id);
    REQUIRE(wait);
    CHECK(wait->s == Approx(*row->value).epsilon(0.1));
    CHECK(wait->high >= *row->value);
    CHECK(wait->high < 1.5 * *row->value);
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
    CHECK(member.meter_ohm >= 0);
    CHECK(member.meter_ohm <= 0.5);
  }
  // 0.8 ohm within 25 % at 25 degC.
  CHECK(low == Approx(0.6).margin(0.005));
  CHECK(high == Approx(1.0).margin(0.005));
  CHECK(mean == Approx(0.8).margin(0.004));
}

TEST_CASE("triage: a longer rest makes waiting less likely", "[bench][slow]") {
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

TEST_CASE("triage: few throws do not make it wait", "[bench][slow]") {
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

TEST_CASE("triage: the wait shrinks by what has passed", "[bench][slow]") {
  const auto part = tests::bench_actuator("act-ordinary-2w");
  bench::Readings readings;
  readings.ambient_C = 30;
  readings.moves = bench::Moves::neither;
  readings.leads_ohm = 163.2;
  readings.meter_ohm = 0.2;
  const auto hot = tests::triage_of(part, readings).wait;
  REQUIRE(hot);
  CHECK(hot->low > 4);  // so much across its leads certainly waits
  CHECK(hot->low <= hot->s);
  CHECK(hot->s <= hot->high);
  double before = hot->high;
  for (const double ohms : {60.0, 24.0, 12.0, 5.0}) {
    readings.leads_ohm = ohms;
    const auto wait = tests::triage_of(part, readings).wait;
    REQUIRE(wait);
    CHECK(wait->high < before);
    CHECK(wait->high > 0);
    before = wait->high;
  }
}

TEST_CASE("triage: a wait is told only to whom it may serve", "[bench]") {
  const auto part = tests::bench_actuator("act-ordinary-2w");
  bench::Readings readings;
  CHECK(!tests::triage_of(part, readings).wait);
  readings.supply_V = 12.4;
  CHECK(!tests::triage_of(part, readings).wait);
  readings.moves = bench::Moves::neither;
  CHECK(tests::triage_of(part, readings).wait);
  readings.idle_min = 60;
  CHECK(!tests::triage_of(part, readings).wait);
  readings.idle_min = 0;
  CHECK(tests::triage_of(part, readings).wait);
  readings.frees = false;
  CHECK(!tests::triage_of(part, readings).wait);
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
