// SPDX-License-Identifier: GPL-3.0-or-later
// What a fault or a film may add: chances must not depend on where the members happen to lie.
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "bench/reading_error.h"
#include "bench/triage_added.h"
#include "support/bench_actuators.h"

using namespace latchwright;
using bench::Moves;
using bench::Readings;
using bench::State;
using tests::chance_of;
using tests::triage_of;

namespace {

Readings cold(double leads_ohm) {
  Readings readings;
  readings.leads_ohm = leads_ohm;
  readings.meter_ohm = 0;
  readings.idle_min = 600;
  return readings;
}

/// A meter's normal law cut off at 0, by docs/model.md section 11 and no code of the program.
double shown(double x, double figure, double base, double share) {
  const double s = std::sqrt(base * base + share * share * figure * figure);
  const double z = (x - figure) / s;
  const double above_0 = 0.5 * std::erfc(-figure / s / std::numbers::sqrt2);
  return std::exp(-0.5 * z * z) / (s * std::sqrt(2 * std::numbers::pi)) / above_0;
}

/// Of a figure even in the logarithm from low to high, on top of base: plain sum over many.
double shown_over(double x, double on, double low, double high) {
  constexpr int count = 40000;
  double sum = 0;
  for (int k = 0; k < count; ++k) {
    sum += shown(x, on + low * std::pow(high / low, (k + 0.5) / count), 0.08, 0.04);
  }
  return sum / count;
}

/// One reading in a hundred is anything, even in the logarithm of x + 0.1 up to 10 MΩ.
double anything(double x) { return 0.01 / ((x + 0.1) * std::log((1e7 + 0.1) / 0.1)); }

}  // namespace

TEST_CASE("triage: a leak against a seized one is what a hand computes", "[bench][slow]") {
  // docs/model.md section 11. A leak is even in the logarithm from 100 ohm to 10 Mohm, so a meter shows x
  // with the density 0.99 / (x ln 1e5); a film ends at 30 ohm, so a seized one shows x by a slip only. Start
  // 0.15 and 0.14, no open line shown 0.1 and 0.995: 0.1077 (0.99 / 11.513 + s) / s with s = 0.01
  // / 18.42, 17.2.
  const double slip = 0.01 / std::log(1e8);
  const double by_hand = 0.15 * 0.1 / (0.14 * 0.995) * (0.99 / std::log(1e5) + slip) / slip;
  REQUIRE(by_hand == Approx(17.2).margin(0.05));
  const auto part = tests::bench_actuator("act-ordinary-2w");
  for (const double x : {130.0, 250.0, 298.0, 355.0, 1000.0, 3300.0, 47000.0, 1e6}) {
    INFO(x << " ohm");
    const auto result = triage_of(part, cold(x));
    CHECK(chance_of(result, State::open) / chance_of(result, State::seized) == Approx(by_hand).epsilon(0.05));
  }
}

TEST_CASE("triage: worn against seized is the sum over all faults and films", "[bench][slow]") {
  const auto part = tests::bench_actuator("act-ordinary-2w");
  const tests::Insides insides(part, cold(10));
  for (const double x : {6.0, 9.08, 11.0, 14.64, 18.4, 20.1, 25.0, 31.0}) {
    double worn = 0, seized = 0;
    // The members' tolerances are even; what lies on top is summed up plainly, of every eighth.
    int count = 0;
    for (std::size_t k = 0; k < insides.members.size(); k += 8, ++count) {
      const double loop = insides.members[k].loop_ohm();
      worn += 0.99 * shown_over(x, 0, 2 * loop, 30 * loop) + anything(x);
      seized += 0.99 * (0.6 * shown(x, loop, 0.08, 0.04) + 0.4 * shown_over(x, loop, 0.3, 30)) + anything(x);
    }
    const double odds = 0.12 * 0.97 * worn / (0.14 * 0.995 * seized);
    INFO(x << " ohm, of " << count);
    const auto result = triage_of(part, cold(x));
    CHECK(chance_of(result, State::worn) / chance_of(result, State::seized) == Approx(odds).epsilon(0.05));
  }
}

TEST_CASE("triage: what may be added on top by a plain sum", "[bench]") {
  for (const double x : {0.5, 2.6, 5.0, 20.0, 33.0, 45.0}) {
    const bench::AddedDensity film(bench::film_on_top, x);
    for (const double base : {0.4, 2.4, 4.0, 18.0, 160.0}) {
      const double plain = 0.99 * (0.6 * shown(x, base, 0.08, 0.04) + 0.4 * shown_over(x, base, 0.3, 30));
      INFO(x << " ohm on " << base);
      CHECK(film.of(base) == Approx(plain).epsilon(0.01).margin(1e-6));
    }
  }
}

TEST_CASE("triage: a clamp's part of currents by a plain sum", "[bench]") {
  struct Case {
    double low, high;
    bool in_logarithm;
  };
  for (const Case& each : {Case{4, 4.6, false}, Case{0.3, 2.4, false}, Case{0.15, 5, true},
                           Case{0.05, 0.5, true}, Case{3, 3, false}}) {
    for (const double x : {0.04, 0.2, 0.45, 1.0, 2.6, 4.2, 5.1}) {
      constexpr int count = 40000;
      double sum = 0;
      for (int k = 0; k < count; ++k) {
        const double u = (k + 0.5) / count;
        const double amps = each.in_logarithm ? each.low * std::pow(each.high / each.low, u)
                                              : each.low + u * (each.high - each.low);
        sum += 0.97 / count * shown(x, amps, 0.03, 0.05);
      }
      INFO(x << " A of " << each.low << " to " << each.high);
      CHECK(bench::clamp.right_density_between(x, each.low, each.high, each.in_logarithm) ==
            Approx(sum).epsilon(0.05).margin(0.01));
    }
  }
}

TEST_CASE("triage: readings 1 percent apart are told about the same", "[bench][slow]") {
  const auto part = tests::bench_actuator("act-ordinary-2w");
  constexpr double step = 1.01, most = 0.03;
  for (const double from : {3.0, 6.8, 9.0, 18.4, 24.0, 250.0}) {
    Readings readings = cold(from);
    auto before = triage_of(part, readings);
    for (int k = 0; k < 3; ++k) {
      *readings.leads_ohm *= step;
      const auto now = triage_of(part, readings);
      INFO(*readings.leads_ohm << " ohm");
      for (const State state : bench::all_states) {
        CHECK(std::fabs(chance_of(now, state) - chance_of(before, state)) < most);
      }
      before = now;
    }
  }
  for (const double from : {0.35, 1.1, 2.0, 4.5}) {
    Readings readings;
    readings.current_A = from;
    readings.leads_ohm = 9;
    auto before = triage_of(part, readings);
    for (int k = 0; k < 3; ++k) {
      *readings.current_A *= step;
      const auto now = triage_of(part, readings);
      INFO(*readings.current_A << " A");
      for (const State state : bench::all_states) {
        CHECK(std::fabs(chance_of(now, state) - chance_of(before, state)) < most);
      }
      before = now;
    }
  }
}
