// SPDX-License-Identifier: GPL-3.0-or-later
// What a reading is expected to tell: never less than nothing, and what a plain double sum gives.
#include <catch2/catch.hpp>
#include <cmath>

#include "support/bench_actuators.h"

using namespace latchwright;
using bench::PerState;
using bench::Reading;
using bench::State;

namespace {

/// Mutual information by its definition, sum of p(s,o) log2 (p(s,o) / p(s) p(o)).
double by_definition(const std::vector<PerState>& chances) {
  double whole = 0;
  PerState state{};
  for (const auto& outcome : chances) {
    for (std::size_t s = 0; s < bench::state_count; ++s) {
      whole += outcome[s];
      state[s] += outcome[s];
    }
  }
  double bits = 0;
  for (const auto& outcome : chances) {
    double share = 0;
    for (const double chance : outcome) share += chance;
    for (std::size_t s = 0; s < bench::state_count; ++s) {
      if (outcome[s] > 0) bits += outcome[s] / whole * std::log2(outcome[s] * whole / (state[s] * share));
    }
  }
  return bits;
}

}  // namespace

TEST_CASE("triage: information of a noisy yes or no", "[bench]") {
  // Binary symmetric channel, error 0.11: 1 - H(0.11) = 0.50008 bits (T. M. Cover, J. A. Thomas, Elements of
  // Information Theory; by hand: 0.11 log2 0.11 = -0.35029, 0.89 log2 0.89 = -0.14963).
  CHECK(bench::information_bits({{0.445, 0.055}, {0.055, 0.445}}) == Approx(0.50008).margin(2e-5));
  CHECK(bench::information_bits({{0.3, 0.1}, {0.6, 0.2}}) == Approx(0).margin(1e-12));  // tells nothing
  CHECK(bench::information_bits({{0.25, 0, 0, 0}, {0, 0.75, 0, 0}}) ==
        Approx(0.811278).epsilon(1e-6));  // tells all: H(1/4)
  CHECK(bench::entropy_bits({1, 1, 1, 1}) == Approx(2).epsilon(1e-12));
}

TEST_CASE("triage: every reading tells something or nothing and its outcomes are all there",
          "[bench][slow]") {
  for (const char* id : {"act-ordinary-2w", "act-light-5w", "act-ordinary-ceramic"}) {
    const tests::Insides insides(tests::bench_actuator(id));
    for (const Reading reading : bench::all_readings) {
      INFO(id << " " << bench::id_of(reading));
      const auto joint = insides.likelihoods.joint(reading, insides.prior, {});
      const double bits = bench::information_bits(joint.chances);
      CHECK(bits >= 0);
      CHECK(bits <= bench::entropy_bits(insides.prior) + 1e-9);
      CHECK(bits == Approx(by_definition(joint.chances)).margin(1e-9));
      for (const State state : bench::all_states) {
        double all = 0;
        for (const auto& outcome : joint.chances) all += outcome[bench::index_of(state)];
        CHECK(all == Approx(insides.prior[bench::index_of(state)]).margin(1e-6));
      }
    }
  }
}

TEST_CASE("triage: information of moves from the stated tables alone", "[bench]") {
  const tests::Insides insides(tests::bench_actuator("act-ordinary-2w"));
  std::vector<PerState> table(3);
  for (const State state : bench::all_states) {
    const std::size_t s = bench::index_of(state);
    for (std::size_t o = 0; o < 3; ++o) table[o][s] = insides.prior[s] * bench::moves_chances(state)[o];
  }
  const auto joint = insides.likelihoods.joint(Reading::moves, insides.prior, {});
  CHECK(bench::information_bits(joint.chances) == Approx(by_definition(table)).margin(1e-6));
}

TEST_CASE("triage: what was read is never asked for again", "[bench][slow]") {
  const auto part = tests::bench_actuator("act-ordinary-5w");
  bench::Readings readings;
  std::vector<std::string> asked;
  for (int k = 0; k < 10; ++k) {
    const auto result = tests::triage_of(part, readings);
    if (!result.next) break;
    const std::string key = result.next->reading;
    CHECK(std::find(asked.begin(), asked.end(), key) == asked.end());
    CHECK(result.next->bits > 0);
    CHECK(!result.next->why.empty());
    asked.push_back(key);
    // Answers that leave the question open as long as may be.
    if (key == "moves") readings.moves = bench::Moves::one;
    if (key == "frees") readings.frees = true;
    if (key == "idle") readings.idle_min = 0.4;
    if (key == "used") readings.used = 9;
    if (key == "supply") readings.supply_V = 10.5;
    if (key == "current") readings.current_A = 2;
    if (key == "leads") readings.leads_ohm = 5;
    if (key == "meter") readings.meter_ohm = 0.2;
  }
  CHECK(asked.size() >= 3);
}
