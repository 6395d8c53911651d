// SPDX-License-Identifier: GPL-3.0-or-later
// Readings that contradict each other are asked for again, without power where a short may be behind it; and
// the trials beside the readings are told where they may save a good actuator.
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

#include "bench/sound_reading.h"
#include "support/bench_actuators.h"
#include "support/words.h"

using namespace latchwright;
using bench::Moves;
using bench::Readings;
using bench::State;
using tests::chance_of;
using tests::holds;
using tests::triage_of;

namespace {

constexpr double open_line = std::numeric_limits<double>::infinity();

void check_no_power(const bench::Triage& result, const char* reading) {
  REQUIRE(result.next);
  INFO(result.next->why);
  CHECK(result.next->reading == reading);
  CHECK(result.next->bits == 0);
  CHECK(holds(result.next->why, "again"));
  CHECK(holds(result.next->why, "no power on it before this is clear"));
  CHECK(holds(result.next->why, "Battery off"));
  CHECK(!holds(result.next->why, "switch"));
  CHECK(holds(result.remarks, "do not put power on it"));
  CHECK(!result.wait);
}

}  // namespace

TEST_CASE("triage: a current that contradicts all else is asked for again without power", "[bench][slow]") {
  // By Ohm's law 12.4 V over 2.4 ohm drive 5.2 A at most.
  Readings readings;
  readings.supply_V = 12.4;
  readings.current_A = 50;
  readings.leads_ohm = 2.4;
  readings.moves = Moves::neither;
  auto result = triage_of(tests::bench_actuator("act-ordinary-2w"), readings);
  check_no_power(result, "current");
  CHECK(result.states.front().state == State::seized);
  CHECK(holds(result.remarks, "binds by hand"));

  readings = {};
  readings.supply_V = 12.3;
  readings.used = 0;
  readings.current_A = 50;
  readings.leads_ohm = open_line;
  readings.ambient_C = 85;
  readings.idle_min = 0.1;
  check_no_power(triage_of(tests::bench_actuator("act-undersized-thermistor"), readings), "current");

  readings = {};
  readings.current_A = 50;
  readings.used = 5;
  readings.idle_min = 20;
  readings.supply_V = 14.4;
  readings.leads_ohm = 6;
  readings.frees = false;
  check_no_power(triage_of(tests::bench_actuator("act-ordinary-ceramic"), readings), "current");
}

TEST_CASE("triage: leads that contradict all else are asked for again", "[bench]") {
  const auto part = tests::bench_actuator("act-ordinary-2w");
  Readings readings;
  readings.moves = Moves::both;
  readings.supply_V = 12.5;
  readings.current_A = 4.6;
  readings.leads_ohm = 0.3;
  readings.meter_ohm = 0;
  check_no_power(triage_of(part, readings), "leads");
  // An open line that draws what a held one draws.
  readings.moves = Moves::neither;
  readings.leads_ohm = open_line;
  const auto result = triage_of(part, readings);
  REQUIRE(result.next);
  CHECK(result.next->reading == "leads");
  CHECK(holds(result.next->why, "bare metal"));
}

TEST_CASE("triage: readings that agree are not asked for again", "[bench][slow]") {
  for (const char* id :
       {"act-ordinary-2w", "act-ordinary-ceramic", "act-heavy-5w-copper", "act-6v", "act-24v"}) {
    const auto part = tests::bench_actuator(id);
    const double volts = bench::nominal_voltage(part.actuator);
    base::NoProgress quiet;
    // What the engine gives a sound one of the part's own figures.
    const auto sound =
        bench::read_sound(part.actuator, part.curve, {.voltage_V = volts, .ambient_C = 20}, 10, quiet);
    const double cold_ohm = part.actuator.motor.resistance + part.actuator.ptc.resistance;
    const double cold_A = (volts - part.actuator.motor.brush_drop) / cold_ohm;
    const auto check = [&](std::optional<double> ohms, std::optional<double> amps, std::optional<Moves> moves,
                           std::optional<double> idle) {
      Readings readings;
      readings.supply_V = volts;
      readings.leads_ohm = ohms;
      readings.meter_ohm = ohms ? std::optional(0.2) : std::nullopt;
      readings.current_A = amps;
      readings.moves = moves;
      readings.idle_min = idle;
      const auto result = triage_of(part, readings);
      INFO(id << ": " << ohms.value_or(-1) << " ohm, " << amps.value_or(-1) << " A, "
              << (result.next ? result.next->why : ""));
      CHECK((!result.next || result.next->bits > 0));
      CHECK(!holds(result.remarks, "do not put power"));
    };
    check(cold_ohm + 0.2, {}, {}, {});
    check({}, 0.97 * cold_A, {}, {});
    check(cold_ohm + 0.2, 0.97 * cold_A, Moves::neither, 60);    // held
    check(cold_ohm + 0.2, 0.3 * cold_A, Moves::both, {});        // works
    check(8 * cold_ohm, cold_A / 8, Moves::neither, 60);         // worn
    check(1.5 * cold_ohm + 0.2, 0.95 * cold_A, Moves::one, {});  // a film
    check(open_line, 0, Moves::neither, {});                     // open
    check({}, sound.minute_A, Moves::neither, 0);                // tripped
    if (sound.tripped_ohm) check(*sound.tripped_ohm + 0.2, {}, Moves::neither, 0);
  }
}

TEST_CASE("triage: what seems seized gets the trial that may save it", "[bench][slow]") {
  const auto part = tests::bench_actuator("act-ordinary-2w");
  Readings readings;
  readings.moves = Moves::neither;
  readings.supply_V = 12.4;
  readings.current_A = 5;
  for (const bool more : {false, true}) {
    if (more) {
      readings.leads_ohm = 2.4;
      readings.idle_min = 0.1;
      readings.used = 15;
    }
    const auto result = triage_of(part, readings);
    CHECK(result.states.front().state == State::seized);
    CHECK(result.states.front().likelihood > 0.9);
    CHECK((holds(result.settles, "binds by hand") || holds(result.remarks, "binds by hand")));
  }
  // Also where there is something left to read.
  readings = {};
  readings.moves = Moves::neither;
  readings.frees = false;
  readings.leads_ohm = 2.5;
  readings.meter_ohm = 0.2;
  const auto open_question = triage_of(part, readings);
  REQUIRE(open_question.states.front().state == State::seized);
  CHECK((holds(open_question.settles, "binds by hand") || holds(open_question.remarks, "binds by hand")));
}

TEST_CASE("triage: what to read next names what differs", "[bench][slow]") {
  const auto part = tests::bench_actuator("act-ordinary-2w");
  Readings readings;
  readings.leads_ohm = open_line;
  auto result = triage_of(part, readings);
  REQUIRE(result.next);
  REQUIRE(result.next->reading == "moves");
  // docs/model.md section 11: an open one moves neither way in 95 of 100, a worn one in 50.
  CHECK(holds(result.next->why, "in about 95 cases of 100"));
  CHECK(holds(result.next->why, "in about 50."));
  readings = {};
  readings.moves = Moves::both;
  result = triage_of(part, readings);
  REQUIRE(result.next);
  CHECK(!holds(result.next->why, "does not move"));
}

TEST_CASE("triage: cold air and throws that hardly trip speak against waiting", "[bench][slow]") {
  const auto part = tests::bench_actuator("act-ordinary-2w");
  Readings readings;
  readings.used = 20;
  readings.moves = Moves::neither;
  readings.idle_min = 0;
  double before = 0;
  for (const double air : {-30.0, 0.0, 20.0, 35.0}) {
    readings.ambient_C = air;
    const double now = chance_of(triage_of(part, readings), State::waiting);
    CHECK(now > before);
    before = now;
  }
  // One in twenty trips by such use (the engine's own share), so without a rest told it is no even chance.
  readings.ambient_C = -30;
  readings.idle_min.reset();
  CHECK(chance_of(triage_of(part, readings), State::waiting) < 0.45);
}

TEST_CASE("triage: a wait without a known rest counts from power off", "[bench][slow]") {
  const auto part = tests::bench_actuator("act-ordinary-2w");
  Readings readings;
  readings.moves = Moves::neither;
  auto wait = triage_of(part, readings).wait;
  REQUIRE(wait);
  CHECK(wait->from_power_off);
  readings.idle_min = 0;
  wait = triage_of(part, readings).wait;
  REQUIRE(wait);
  CHECK(!wait->from_power_off);
}
