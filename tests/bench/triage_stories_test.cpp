// SPDX-License-Identifier: GPL-3.0-or-later
// Stories from memory, readings that contradict, and what is asked then.
#include "bench/triage_stories.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

#include "bench/sound_reading.h"
#include "bench/triage_texts.h"
#include "support/bench_actuators.h"
#include "support/words.h"

using namespace latchwright;
using bench::Moves;
using bench::Readings;
using bench::State;
using tests::chance_of;
using tests::triage_of;

namespace {

Readings still(double leads_ohm) {
  Readings readings;
  readings.moves = Moves::neither;
  readings.leads_ohm = leads_ohm;
  readings.meter_ohm = 0.2;
  return readings;
}

}  // namespace

TEST_CASE("triage: a rest is remembered to some seconds and a third", "[bench]") {
  for (const double told : {0.0, 0.1, 1.0, 30.0}) {
    double before = 0;
    for (const double s : {0.0, 1.0, 5.0, 20.0, 60.0, 600.0, 3600.0, 36000.0}) {
      const double now = bench::rest_shorter(told, s);
      CHECK(now >= before);
      before = now;
    }
    CHECK(before == Approx(1).epsilon(1e-6));
  }
  // Just used: within some seconds. An hour: between 40 min and 90 min.
  CHECK(bench::rest_shorter(0, 2) > 0.3);
  CHECK(bench::rest_shorter(0, 2) < 0.7);
  CHECK(bench::rest_shorter(0, 12) > 0.95);
  CHECK(bench::rest_shorter(60, 5400) - bench::rest_shorter(60, 2400) > 0.7);
  CHECK(bench::rest_shorter(60, 600) < 1e-4);
  // What anybody may tell adds to everything.
  CHECK(bench::rest_shorter(2e5) == Approx(1).epsilon(1e-3));
  CHECK(bench::made_throws(0, 0.99) == 0);
  CHECK(bench::made_throws(20, 0.5) == 20);
  CHECK(bench::made_throws(20, 0.05) < bench::made_throws(20, 0.95));
}

TEST_CASE("triage: a moment more or less of rest does not turn the verdict", "[bench][slow]") {
  // 12 ohm is what the engine gives a tripped one between 2 and 5 s; nobody tells seconds from memory.
  const auto part = tests::bench_actuator("act-ordinary-2w");
  for (const double ohms : {12.2, 4.2}) {
    Readings readings = still(ohms);
    readings.ambient_C = 20;
    for (const double idle : {0.0, 0.03, 0.05, 0.08, 0.1}) {
      readings.idle_min = idle;
      INFO(ohms << " ohm after " << idle);
      const auto result = triage_of(part, readings);
      CHECK(result.states.front().state == State::waiting);
      CHECK(chance_of(result, State::waiting) > 0.6);
      REQUIRE(result.wait);
      CHECK(result.wait->high > 0);
    }
  }
}

TEST_CASE("triage: throws told from memory do not rule out a trip", "[bench][slow]") {
  // What a sound one reads across its leads just after its trip, by the engine.
  const auto ceramic = tests::bench_actuator("act-ordinary-ceramic");
  base::NoProgress quiet;
  const auto sound =
      bench::read_sound(ceramic.actuator, ceramic.curve, {.voltage_V = 12.6, .ambient_C = 23}, 15, quiet);
  REQUIRE(sound.tripped_ohm);
  Readings readings = still(*sound.tripped_ohm + 0.2);
  readings.idle_min = 0;
  for (const int used : {15, 40}) {
    readings.used = used;
    const auto result = triage_of(ceramic, readings);
    CHECK(chance_of(result, State::waiting) > 0.5);
    REQUIRE(result.wait);
    CHECK(result.wait->low > 0);
  }
  // And one throw more or less counts for little.
  const auto polymer = tests::bench_actuator("act-ordinary-2w");
  readings = still(20);
  readings.ambient_C = 20;
  readings.idle_min = 0;
  double least = 1, most = 0;
  for (const int used : {20, 25, 30, 40}) {
    readings.used = used;
    const double chance = chance_of(triage_of(polymer, readings), State::waiting);
    least = std::min(least, chance);
    most = std::max(most, chance);
  }
  CHECK(least > 0.8);
  CHECK(most - least < 0.15);
}

TEST_CASE("triage: a tripped one with its switch still pressed is not open", "[bench][slow]") {
  for (const auto& [id, volts] : {std::pair("act-ordinary-2w", 12.6), std::pair("act-6v", 6.2)}) {
    const auto part = tests::bench_actuator(id);
    base::NoProgress quiet;
    const auto sound =
        bench::read_sound(part.actuator, part.curve, {.voltage_V = volts, .ambient_C = 18}, 10, quiet);
    Readings readings;
    readings.moves = Moves::neither;
    readings.supply_V = volts;
    for (const double amps : {sound.minute_A, sound.end_A}) {
      readings.current_A = amps;
      INFO(id << " " << amps << " A");
      CHECK(triage_of(part, readings).states.front().state == State::waiting);
    }
  }
}

TEST_CASE("triage: a reading that fits nothing is asked for again", "[bench][slow]") {
  const auto part = tests::bench_actuator("act-ordinary-2w");
  Readings readings;
  readings.moves = Moves::both;
  readings.supply_V = 12.5;
  readings.current_A = 0;
  auto result = triage_of(part, readings);
  CHECK(result.states.front().state == State::sound);
  REQUIRE(result.next);
  CHECK(result.next->reading == "current");
  CHECK(result.next->why.find("one lead only") != std::string::npos);

  readings = {};
  readings.moves = Moves::both;
  readings.leads_ohm = std::numeric_limits<double>::infinity();
  result = triage_of(part, readings);
  CHECK(chance_of(result, State::open) < 0.5);
  REQUIRE(result.next);
  CHECK(result.next->reading == "leads");

  readings = {};
  readings.current_A = 190;
  result = triage_of(part, readings);
  REQUIRE(result.next);
  CHECK(result.next->reading == "current");

  readings = {};
  readings.supply_V = 15.5;
  CHECK(tests::holds(triage_of(part, readings).remarks, "more than it should ever get"));
  readings = {};
  readings.used = 0;
  readings.idle_min = 0;
  CHECK(tests::holds(triage_of(part, readings).remarks, "not as told"));
}

TEST_CASE("triage: nothing across its leads is a short and keeps the power off", "[bench]") {
  const auto part = tests::bench_actuator("act-ordinary-2w");
  for (const bool moved : {false, true}) {
    Readings readings;
    readings.leads_ohm = 0;
    if (moved) readings.moves = Moves::neither;
    const auto result = triage_of(part, readings);
    CHECK(result.states.front().state == State::shorted);
    CHECK(result.states.front().why.find("Nothing that was read") == std::string::npos);
    CHECK(result.states.front().why.find("without the meter's own") == std::string::npos);
    CHECK(!result.wait);
    CHECK(tests::holds(result.remarks, "do not put power on it"));
    REQUIRE(result.next);
    CHECK(result.next->reading == "meter");
  }
  CHECK(triage_of(part, still(0.5)).settles.find("good supply") == std::string::npos);
  CHECK(triage_of(part, still(0)).states.front().state == State::shorted);  // less than the meter's own leads
}

TEST_CASE("triage: what is asked next parts those that lead", "[bench][slow]") {
  const auto part = tests::bench_actuator("act-ordinary-2w");
  Readings readings;
  readings.moves = Moves::one;
  auto result = triage_of(part, readings);
  REQUIRE(result.next);
  CHECK(result.next->reading != "used");
  readings.moves = Moves::neither;
  readings.supply_V = 9.5;
  readings.current_A = 3.7;
  result = triage_of(part, readings);  // supply or seized: nothing that is left tells
  CHECK(!result.next);
  CHECK(result.settles.find("good supply") != std::string::npos);
  readings = {};
  readings.moves = Moves::both;
  readings.leads_ohm = 4;
  result = triage_of(tests::bench_actuator("act-light-5w"), readings);
  if (!result.next) CHECK(result.settles.find("switch wires") != std::string::npos);
}

TEST_CASE("triage: as expected means within what is expected", "[bench][slow]") {
  const auto part = tests::bench_actuator("act-ordinary-2w");
  for (const double ohms : {0.0, 0.4, 2.6, 12.0, 59.8, 300.0}) {
    for (const double amps : {0.2, 4.5}) {
      Readings readings;
      readings.leads_ohm = ohms;
      readings.current_A = amps;
      readings.ambient_C = 20;
      for (const auto& row : triage_of(part, readings).states) {
        for (std::size_t at = row.why.find(", as expected ("); at != std::string::npos;
             at = row.why.find(", as expected (", at + 1)) {
          double low = 0, high = 0;
          const int got = std::sscanf(row.why.c_str() + at, ", as expected (%lf to %lf", &low, &high);
          if (got != 2) continue;
          const bool ohm = row.why.find("Ω", at) < row.why.find(" A)", at);
          const double shown = ohm ? ohms : amps;
          INFO(row.why);
          CHECK(shown >= 0.99 * low);
          CHECK(shown <= 1.01 * high);
        }
      }
    }
  }
}
