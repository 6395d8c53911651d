// SPDX-License-Identifier: GPL-3.0-or-later
// What triage takes for granted: chances that are chances, and Bayes' rule with them by hand.
#include <catch2/catch.hpp>
#include <cmath>
#include <numeric>

#include "bench/reading_error.h"
#include "support/bench_actuators.h"

using namespace latchwright;
using bench::all_states;
using bench::State;
using tests::chance_of;

namespace {

template <class Chances>
double sum(const Chances& chances) {
  return std::accumulate(chances.begin(), chances.end(), 0.0);
}

}  // namespace

TEST_CASE("triage: stated chances add to 1", "[bench]") {
  for (const int wires : {2, 5}) CHECK(sum(bench::priors(wires)) == Approx(1).epsilon(1e-12));
  CHECK(bench::priors(2)[bench::index_of(State::end_switch)] == 0);
  CHECK(bench::priors(5)[bench::index_of(State::end_switch)] > 0);
  for (const State state : all_states) {
    CHECK(all_states[bench::index_of(state)] == state);
    CHECK(sum(bench::moves_chances(state)) == Approx(1).epsilon(1e-12));
    CHECK(sum(bench::supply_chances(state)) == Approx(1).epsilon(1e-12));
    for (const double chance : {bench::frees_chance(state), bench::open_line_chance(state)}) {
      CHECK(chance > 0);  // nothing that can be read rules a state out for good
      CHECK(chance < 1);
    }
  }
  double idle = 0, nodes = 0, used = 0;
  for (const auto& bin : bench::idle_bins()) idle += bin.chance;
  for (const auto& node : bench::idle_nodes()) nodes += node.chance;
  for (const auto& bin : bench::used_bins()) used += bin.chance;
  CHECK(idle == Approx(1).epsilon(1e-12));
  CHECK(nodes == Approx(1).epsilon(1e-12));
  CHECK(used == Approx(1).epsilon(1e-12));
}

TEST_CASE("triage: nothing read leaves the starting chances", "[bench]") {
  const auto part = tests::bench_actuator("act-ordinary-5w");
  const auto result = tests::triage_of(part, {});
  REQUIRE(result.states.size() == 8);
  const auto prior = bench::priors(5);
  for (const State state : all_states) {
    CHECK(chance_of(result, state) == Approx(prior[bench::index_of(state)]).epsilon(1e-9));
  }
  CHECK(result.states.front().state == State::waiting);
  REQUIRE(result.next);
  CHECK(result.next->reading == "moves");
}

TEST_CASE("triage: Bayes with one reading is what a hand computes", "[bench]") {
  // docs/model.md section 11, two wires, "moves neither way". Starting chance times chance of the reading:
  // sound .12 x .02 = .0024, waiting .20 x .90 = .18, open .15 x .95 = .1425, shorted .03 x .95 = .0285,
  // seized .14 x .70 = .098, worn .12 x .50 = .06, supply .17 x .60 = .102; together .6134.
  const auto part = tests::bench_actuator("act-ordinary-2w");
  bench::Readings readings;
  readings.moves = bench::Moves::neither;
  const auto result = tests::triage_of(part, readings);
  CHECK(chance_of(result, State::sound) == Approx(0.0024 / 0.6134).epsilon(1e-6));
  CHECK(chance_of(result, State::waiting) == Approx(0.18 / 0.6134).epsilon(1e-6));
  CHECK(chance_of(result, State::open) == Approx(0.1425 / 0.6134).epsilon(1e-6));
  CHECK(chance_of(result, State::shorted) == Approx(0.0285 / 0.6134).epsilon(1e-6));
  CHECK(chance_of(result, State::seized) == Approx(0.098 / 0.6134).epsilon(1e-6));
  CHECK(chance_of(result, State::worn) == Approx(0.06 / 0.6134).epsilon(1e-6));
  CHECK(chance_of(result, State::supply) == Approx(0.102 / 0.6134).epsilon(1e-6));
  CHECK(chance_of(result, State::end_switch) == 0);
  double all = 0;
  for (const auto& row : result.states) all += row.likelihood;
  CHECK(all == Approx(1).epsilon(1e-12));
}

TEST_CASE("triage: a supply reading counts by its band and by the actuator's voltage", "[bench]") {
  // 12 V where 24 V belong is low; docs/model.md section 11: band 0.5 to 9 V of a 12 V vehicle, 0.02 and
  // 0.34.
  CHECK(bench::nominal_voltage(tests::bench_actuator("act-ordinary-2w").actuator) == 12.6);
  CHECK(bench::nominal_voltage(tests::bench_actuator("act-workshop-test").actuator) == 12.6);
  CHECK(bench::nominal_voltage(tests::bench_actuator("act-24v").actuator) == 25.2);
  CHECK(bench::nominal_voltage(tests::bench_actuator("act-6v").actuator) == 6.3);
  bench::Readings readings;
  readings.supply_V = 12;
  const auto low = tests::triage_of(tests::bench_actuator("act-24v"), readings);
  // Together: (.12 + .20 + .15 + .14 + .12) x .02 + .03 x .40 + .17 x .34 = .0844.
  CHECK(chance_of(low, State::supply) == Approx(0.17 * 0.34 / 0.0844).epsilon(1e-6));
  const auto good = tests::triage_of(tests::bench_actuator("act-ordinary-2w"), readings);
  CHECK(chance_of(good, State::supply) < 0.02);
}

TEST_CASE("triage: what a meter shows of a figure adds to 1", "[bench]") {
  for (const double figure : {0.0, 0.05, 2.4, 310.0}) {
    double chances = 0, density = 0;
    double low = 0;
    for (double high = 0.01; low < 1e7; low = high, high *= 1.05) {
      chances += bench::ohmmeter.chance(low, high, figure);
      // Simpson's rule of the density, another route to the same chance.
      const double width = std::min(high, 1e7) - low;
      if (width <= 0) continue;
      const int pieces = 200;
      for (int k = 0; k < pieces; ++k) {
        const double a = low + width * k / pieces, b = low + width * (k + 1) / pieces;
        density += (b - a) / 6 *
                   (bench::ohmmeter.density(a, figure) + 4 * bench::ohmmeter.density(0.5 * (a + b), figure) +
                    bench::ohmmeter.density(b, figure));
      }
    }
    CHECK(chances == Approx(1).epsilon(1e-9));
    CHECK(density == Approx(1).epsilon(1e-4));
  }
}
