// SPDX-License-Identifier: GPL-3.0-or-later
// The engine against CVODE (SUNDIALS) on studies drawn at random, within docs/model.md section 9.
#include <algorithm>
#include <catch2/catch.hpp>

#include "reference/compare/compare.h"
#include "support/studies.h"

using namespace latchwright;
using tests::StudyCase;

namespace {

/// Ten cycles of the worked case of docs/model.md section 10 with a pulse of this length.
StudyCase worked_cycles(double on_s) {
  StudyCase study;
  study.name = "worked case";
  study.study = tests::worked_study();
  study.verb = StudyCase::Verb::cycles;
  study.at = {12.6, 23};
  study.plan.on_s = on_s;
  study.plan.want_recovery = true;
  return study;
}

/// A pulse that ends as the first throw arrives: 2e-5 of its length more or less decides.
StudyCase on_the_edge() {
  StudyCase study = worked_cycles(0.7);
  base::NoProgress quiet;
  const auto circuit = sim::make_circuit(study.study, study.at);
  sim::CyclePlan plan;
  plan.cycles = 1;
  plan.on_s = 0.7;
  const double arrival = *sim::simulate_cycles(circuit, plan, {}, quiet).doors[0].first_throw_s;
  study.plan.on_s = arrival * (1 + 2e-5);
  study.plan.want_recovery = false;  // so near the arrival it hangs on the last microsecond
  return study;
}

tests::Figures moved(StudyCase study, double part) {
  study.plan.on_s *= 1 + part;
  return tests::engine_figures(study);
}

}  // namespace

TEST_CASE("random studies: the engine agrees with CVODE", "[sim][reference][slow]") {
  constexpr std::uint64_t seed = 1;
  constexpr std::size_t studies = 40;
  tests::Tally tally;
  for (std::size_t k = 0; k < studies; ++k) {
    const StudyCase study = tests::random_study(seed, k);
    INFO(study.name);
    tally.add(study, tests::compare(study));
  }
  for (const auto& held : tally.wrong()) FAIL_CHECK(held.text());
  CHECK(tally.good());
  for (const char* feature : {"one door",
                              "five doors",
                              "other numbers of doors",
                              "equal doors",
                              "steady",
                              "over_centre",
                              "table",
                              "rod_force_unlock",
                              "cold factor",
                              "cold",
                              "hot",
                              "weak supply",
                              "other load",
                              "branch fuse",
                              "after_trip",
                              "thermistor tolerance",
                              "copper and core",
                              "ceramic curve",
                              "short table",
                              "flat curve",
                              "no take-up",
                              "large inductance",
                              "going on through missed throws"}) {
    INFO(feature);
    CHECK(tally.features().count(feature) == 1);
  }
  // Of each kind of outcome some: that a set without lockouts says nothing of recoveries is easily
  // overlooked.
  for (const char* figure :
       {"trip_time_s", "first_throw_s", "last_throw_s", "recovery_s", "cooled_s", "final_core_C"}) {
    INFO(figure);
    CHECK(tally.largest().count(figure) == 1);
  }
}

TEST_CASE("random studies: a rotor that halts on the bump stop inside a step has halted",
          "[sim][reference]") {
  // 53 mH: it swings back and would go on; by docs/model.md section 3 it stands for the rest of the pulse.
  for (const auto& held : tests::compare(tests::random_study(2, 361)).wrong) FAIL_CHECK(held.text());
}

TEST_CASE("comparison with CVODE: finds a figure that is off", "[reference][slow]") {
  StudyCase study = worked_cycles(0.7);
  study.at = {13.8, 75};  // locks out soon
  const tests::Figures right = tests::engine_figures(study);
  CHECK(tests::compare(study, right).wrong.empty());
  for (const char* what : {"cycles_done", "recovery_s", "peak_current_A", "first_throw_s", "peak_ptc_C"}) {
    INFO(what);
    const auto place =
        std::find_if(right.begin(), right.end(), [&](const auto& figure) { return figure.what == what; });
    REQUIRE(place != right.end());
    tests::Figures off = right;
    std::optional<double>& value = off[static_cast<std::size_t>(place - right.begin())].value;
    REQUIRE(value.has_value());
    switch (place->kind) {
      case tests::Kind::ratio:
        *value *= 1.0025;
        break;
      case tests::Kind::kelvin:
        *value += 0.12;
        break;
      case tests::Kind::rest:
        *value *= 1.012;
        break;
      case tests::Kind::count:
        *value += 1;
        break;
    }
    const auto outcome = tests::compare(study, off);
    REQUIRE(outcome.wrong.size() == 1);
    CHECK(outcome.wrong[0].engine.what == what);
    CHECK_FALSE(outcome.near_edge);
    value.reset();
    CHECK(tests::compare(study, off).wrong.size() == 1);
  }
}

TEST_CASE("comparison with CVODE: near an edge a figure may lie on either side", "[reference]") {
  const StudyCase edge = on_the_edge();
  CHECK_FALSE(tests::compare(edge, moved(edge, 0)).near_edge);
  const auto other_side = tests::compare(edge, moved(edge, -5e-5));
  CHECK(other_side.near_edge);
  CHECK(other_side.wrong.empty());
  const auto too_far = tests::compare(edge, moved(edge, 0.2));
  CHECK(too_far.near_edge);
  CHECK_FALSE(too_far.wrong.empty());

  tests::Tally tally;
  tally.add(edge, other_side);
  CHECK_FALSE(tally.good());  // more than 5 % of the set
}
