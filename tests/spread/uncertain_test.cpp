// SPDX-License-Identifier: GPL-3.0-or-later
#include "spread/uncertain.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <set>

#include "model/part_fields.h"
#include "model/tolerance.h"
#include "sim/lockout.h"
#include "spread/usual_scatter.h"
#include "support/picture_search.h"
#include "support/studies.h"

using namespace latchwright;
using spread::Uncertain;
using spread::UncertainStudy;
using tests::worked_study;

namespace {

const Uncertain* find(const UncertainStudy& study, const std::string& key) {
  const auto& all = study.sources();
  const auto found =
      std::find_if(all.begin(), all.end(), [&](const Uncertain& source) { return source.key == key; });
  return found == all.end() ? nullptr : &*found;
}

const Uncertain& source(const UncertainStudy& study, const std::string& key) {
  const Uncertain* found = find(study, key);
  if (found == nullptr) throw std::runtime_error("no source " + key);
  return *found;
}

/// All places 0 but one thing of one source.
spread::Installation moved(const UncertainStudy& study, const std::string& key, double place,
                           std::size_t thing) {
  std::vector<double> places(study.columns());
  places.at(source(study, key).columns.at(thing)) = place;
  return study.at(places);
}

const model::Actuator& actuator(const spread::Installation& made, std::size_t door) {
  return made.study.actuator(door);
}

}  // namespace

TEST_CASE("uncertain: all places 0 are the study itself", "[spread]") {
  for (const char* name : {"five-door-estate", "four-door-saloon"}) {
    const auto study = tests::example_study(name);
    const UncertainStudy uncertain(study);
    const auto same = uncertain.at(std::vector<double>(uncertain.columns()));
    CHECK(same.voltage_shift_V == 0);
    CHECK(same.ambient_shift_K == 0);
    CHECK(same.study.job.doors == study.job.doors);
    for (const double hot_C : {23.0, study.job.climate.hot_C}) {
      const sim::Condition at{.voltage_V = 13.2, .ambient_C = hot_C, .after_trip = true};
      const sim::CyclePlan plan{.cycles = 20, .on_s = 0.7, .gap_s = 1};
      base::NoProgress quiet;
      CHECK(sim::count_worst(same.study, at, plan, quiet).cycles_done ==
            sim::count_worst(study, at, plan, quiet).cycles_done);
    }
  }
}

TEST_CASE("uncertain: every figure that scatters is a source with its origin", "[spread]") {
  const UncertainStudy study(worked_study(2));
  for (const auto& row : model::usual_tolerances()) {
    const Uncertain& one = source(study, "a" + std::string(row.pointer));
    CHECK(one.half_width == Approx(100 * row.half_width));
    CHECK(one.unit == "%");
    CHECK(one.origin == row.origin);
    CHECK(one.columns.size() == 2);
  }
  CHECK(source(study, "w-2.5/mohm_per_m").columns.size() == 1);
  CHECK(source(study, "w-1/mohm_per_m").columns.size() == 2);
  CHECK(source(study, "f-15/cold_mohm").half_width == Approx(10));
  CHECK(source(study, "r/contact_mohm").half_width == Approx(30));
  CHECK(source(study, "internal_mohm").half_width == Approx(33));
  // The job's defaults.
  CHECK(source(study, "rod_force").half_width == Approx(20));
  CHECK(source(study, "length").half_width == Approx(10));
  CHECK(source(study, "length").columns.size() == 3);
  CHECK(source(study, "voltage_V").half_width == Approx(0.3));
  CHECK(source(study, "voltage_V").unit == "V");
  CHECK(source(study, "ambient_C").half_width == Approx(5));
  // Each column once, each key once.
  std::set<std::string> keys;
  std::set<std::size_t> columns;
  std::size_t count = 0;
  for (const auto& one : study.sources()) {
    keys.insert(one.key);
    columns.insert(one.columns.begin(), one.columns.end());
    count += one.columns.size();
    CHECK_FALSE(one.name.empty());
  }
  CHECK(keys.size() == study.sources().size());
  CHECK(columns.size() == count);
  CHECK(count == study.columns());
}

TEST_CASE("uncertain: what a part states goes first and limits of use do not scatter", "[spread]") {
  const std::string tolerance = R"({"/ptc/resistance_ohm": 0.1, "/motor/inertia_gcm2": 0.05,
      "/motor/friction_mNm": 0, "/ptc/max_V": 0.2, "/motor/winding_class_C": 0.1})";
  const UncertainStudy study(worked_study(1, {{tests::worked_actuator + "/tolerance", tolerance}}));
  CHECK(source(study, "a/ptc/resistance_ohm").half_width == Approx(10));
  CHECK(source(study, "a/ptc/resistance_ohm").origin == "stated by the part");
  CHECK(source(study, "a/motor/inertia_gcm2").half_width == Approx(5));
  CHECK(find(study, "a/motor/friction_mNm") == nullptr);
  CHECK(find(study, "a/ptc/max_V") == nullptr);
  CHECK(find(study, "a/motor/winding_class_C") == nullptr);
}

TEST_CASE("uncertain: what is nothing does not scatter", "[spread]") {
  const UncertainStudy study(worked_study(1, {{"/supply/internal_mohm", "0"},
                                              {"/feed/length_m", "0"},
                                              {"/doors/0/rod_force/peak_N", "0"},
                                              {tests::worked_actuator + "/motor/brush_drop_V", "0"},
                                              {tests::worked_actuator + "/ptc/to_case_mW_per_K", "0"},
                                              {"/spread", R"({"voltage_V": 0, "ambient_C": 0})"}}));
  for (const char* key : {"internal_mohm", "w-2.5/mohm_per_m", "rod_force", "a/motor/brush_drop_V",
                          "a/ptc/to_case_mW_per_K", "voltage_V", "ambient_C"}) {
    CAPTURE(key);
    CHECK(find(study, key) == nullptr);
  }
  CHECK(source(study, "length").columns.size() == 1);
}

TEST_CASE("uncertain: a column moves one thing of one door", "[spread]") {
  const model::Study plain =
      worked_study(2, {{"/doors/1/rod_force_unlock", R"({"shape": "steady", "peak_N": 30})"}});
  const UncertainStudy study(plain);
  const auto part = moved(study, "a/ptc/resistance_ohm", 1, 1);
  CHECK(actuator(part, 1).ptc.resistance == Approx(1.25 * 0.35));
  CHECK(actuator(part, 0).ptc.resistance == Approx(0.35));
  CHECK(actuator(part, 1).motor.resistance == Approx(1.9));
  const auto wire = moved(study, "w-1/mohm_per_m", -1, 0);
  CHECK(wire.study.door_wire(0).ohm_per_m == Approx(0.97 * 0.0185));
  CHECK(wire.study.door_wire(1).ohm_per_m == Approx(0.0185));
  const auto rod = moved(study, "rod_force", 0.5, 1);
  CHECK(rod.study.job.doors[0].rod_force.peak == Approx(22));
  CHECK(rod.study.job.doors[1].rod_force.peak == Approx(1.1 * 22));
  CHECK(rod.study.job.doors[1].rod_force_unlock->peak == Approx(1.1 * 30));
  CHECK(moved(study, "length", 1, 0).study.job.feed.length == Approx(1.1 * 3.2));
  CHECK(moved(study, "length", 1, 2).study.job.doors[1].branch_length == Approx(1.1 * 2.4));
  CHECK(moved(study, "r/contact_mohm", -1, 0).study.relay().contact_ohm == Approx(0.7 * 0.003));
  CHECK(moved(study, "internal_mohm", 1, 0).study.job.supply.internal_ohm == Approx(1.33 * 0.015));
  const auto fuse = moved(study, "f-15/cold_mohm", 1, 0);
  CHECK(std::get<model::Fuse>(fuse.study.feed.fuse->body).cold_ohm == Approx(1.1 * 0.0048));
  CHECK(moved(study, "voltage_V", -1, 0).voltage_shift_V == Approx(-0.3));
  CHECK(moved(study, "ambient_C", 0.5, 0).ambient_shift_K == Approx(2.5));
}

TEST_CASE("uncertain: doors with one part that turned out differently are counted apart", "[spread]") {
  // The second door's thermistor takes half of the heat: it stops first, and alone before all together.
  // Counting one of both doors for two would miss it.
  const model::Study plain =
      worked_study(2, {{tests::worked_actuator + "/tolerance", R"({"/ptc/heat_J_per_K": 0.5})"},
                       {"/feed/ground_mohm", "200"}});
  const UncertainStudy study(plain);
  const auto made = moved(study, "a/ptc/heat_J_per_K", -1, 1);
  const sim::Condition at{.voltage_V = 12.6, .ambient_C = 23, .after_trip = true};
  const sim::CyclePlan plan{.cycles = 40, .on_s = 0.7, .gap_s = 1};
  base::NoProgress quiet;
  const auto found = sim::count_worst(made.study, at, plan, quiet);
  const int together = sim::count_cycles(sim::make_circuit(made.study, at), plan);
  const int first = sim::count_cycles(sim::make_circuit(made.study, at, {0}), plan);
  const int second = sim::count_cycles(sim::make_circuit(made.study, at, {1}), plan);
  CHECK(second < first);
  CHECK(second < together);
  CHECK(found.cycles_done == second);
  CHECK(found.alone == std::size_t{1});
}

TEST_CASE("uncertain: every figure that may scatter has a name for people", "[spread]") {
  const std::set<std::string> limits{"/motor/winding_class_C", "/motor/winding_fault_C", "/ptc/max_V",
                                     "/ptc/max_A"};
  std::set<std::string> names;
  for (const auto& pointer : model::actuator_number_pointers()) {
    if (limits.count(pointer) > 0) continue;
    const std::string words = model::figure_words(pointer);
    CAPTURE(pointer);
    CHECK(words != pointer);
    CHECK(names.insert(words).second);
  }
}
