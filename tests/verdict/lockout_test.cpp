// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>

#include "sim/cycle.h"
#include "support/verdict_jobs.h"
#include "support/worked_case.h"

// Lockout: cycles done over cycles wanted (docs/model.md section 8).
using namespace latchwright;
using tests::Bench;
using tests::Parts;
using tests::plain;
using verdict::At;
using verdict::CheckId;
using verdict::Verdict;

namespace {

std::string worked_json(const tests::Changes& changes, int doors = 1) {
  return tests::changed(tests::worked_case_json(doors), changes);
}

/// Whole cycles of a job at a condition, its thermistors as they stand in it.
int cycles_of(const std::string& json, double volts, double T, int most = 100) {
  const auto study = tests::study_of(json);
  return sim::count_cycles(sim::make_circuit(study, {.voltage_V = volts, .ambient_C = T}),
                           {.cycles = most, .on_s = study.job.pulse.on_s, .gap_s = study.job.use.gap_s});
}

}  // namespace

TEST_CASE("lockout of the worked case", "[verdict][lockout]") {
  // docs/model.md section 10: 6 cycles at 12.6 V, 23 °C; 2 at 13.8 V, 75 °C. Wanted: 10, 5 when hot.
  const Bench bench(worked_json({{"/supply/charge_V", "13.8"}}), Parts::own);
  const auto usual = bench.row(CheckId::lockout, std::nullopt, "installation", At{12.6, 23});
  CHECK(*usual.have == 6);
  CHECK(*usual.need == 10);
  CHECK(*usual.margin == 0.6);
  CHECK(usual.unit == "cycles");
  CHECK_FALSE(usual.door.has_value());
  const auto hot = bench.row(CheckId::lockout, std::nullopt, "installation", At{13.8, 75});
  CHECK(*hot.have == 2);
  CHECK(*hot.need == 5);
  // The worst of six conditions stands for the job.
  double least = 100;
  for (const double T : {-20.0, 23.0, 75.0}) {
    for (const double volts : {12.6, 13.8}) {
      least = std::min(least, cycles_of(tests::worked_case_json(), volts, T) / (T == 75 ? 5.0 : 10.0));
    }
  }
  const auto worst = bench.worst(CheckId::lockout, std::nullopt, "installation");
  CHECK(*worst.margin == least);
  CHECK(least <= 0.4);
  CHECK(worst.verdict == Verdict::fails);
  CHECK(hot.why.starts_with("with thermistors that have tripped before, it stops working after 2 cycles in a "
                            "row, until it cools"));
  // Usual and charging voltage only.
  CHECK(bench.rows(CheckId::lockout).size() == 6);
}

TEST_CASE("lockout counts with the thermistor's resistance after a trip", "[verdict][lockout]") {
  const tests::Changes raised{{tests::worked_actuator + "/ptc/after_trip_ratio", "1.6"}};
  // 0.35 ohm x 1.6 as a new part's resistance.
  const std::string same = worked_json({{tests::worked_actuator + "/ptc/resistance_ohm", "0.56"}});
  const int wanted = cycles_of(same, 12.6, 23);
  REQUIRE(wanted != 6);
  CHECK(*Bench(worked_json(raised), Parts::own)
             .row(CheckId::lockout, std::nullopt, "installation", At{12.6, 23})
             .have == wanted);
}

TEST_CASE("lockout's band is that of the thermistors' tolerance", "[verdict][lockout]") {
  for (const bool stated : {false, true}) {
    CAPTURE(stated);
    tests::Changes changes{{"/supply/charge_V", "12.6"}, {"/climate/hot_C", "60"}};
    if (stated) changes.push_back({tests::worked_actuator + "/tolerance", R"({"/ptc/resistance_ohm": 0.1})"});
    const Bench bench(worked_json(changes), Parts::own);
    const auto worst = bench.worst(CheckId::lockout, std::nullopt, "installation");
    REQUIRE(worst.band.has_value());
    const double half = stated ? 0.1 : 0.25;
    std::vector<int> ends;
    for (const double scale : {1 - half, 1 + half}) {
      auto with = changes;
      with.push_back({tests::worked_actuator + "/ptc/resistance_ohm", std::to_string(0.35 * scale)});
      ends.push_back(cycles_of(worked_json(with), worst.at->voltage_V, worst.at->ambient_C));
    }
    CHECK(worst.band->first == std::min(ends[0], ends[1]));
    CHECK(worst.band->second == std::max(ends[0], ends[1]));
    CHECK(*worst.have >= worst.band->first);
    CHECK(*worst.have <= worst.band->second);
    int with_band = 0;
    for (const auto& row : bench.rows(CheckId::lockout)) with_band += row.band.has_value();
    CHECK(with_band == 1);
  }
}

TEST_CASE("lockout is sought up to four times the wanted cycles", "[verdict][lockout]") {
  // The plain thermistor never changes: it works for ever.
  const Bench bench = plain();
  CHECK(*bench.row(CheckId::lockout, std::nullopt, "installation", At{13, 25}).have == 40);
  CHECK(*bench.row(CheckId::lockout, std::nullopt, "installation", At{13, 65}).have == 20);
  const auto worst = bench.worst(CheckId::lockout, std::nullopt, "installation");
  CHECK(*worst.margin == 4);
  CHECK(worst.verdict == Verdict::holds);
  CHECK(*worst.band == std::pair(40.0, 40.0));
}

TEST_CASE("each door alone counts too: with the feed to itself it heats faster", "[verdict][lockout]") {
  // 6 cycles alone (docs/model.md section 10); together the doors take each other's current in the shared
  // wires.
  const tests::Changes more{{"/use/cycles", "20"}};
  const std::string json = worked_json(more, 4);
  const int together = cycles_of(json, 12.6, 23);
  CAPTURE(together);
  REQUIRE(together > 6);
  const auto row = Bench(json, Parts::own).row(CheckId::lockout, std::nullopt, "installation", At{12.6, 23});
  CHECK(*row.have == 6);
  CHECK(row.why.find("door 1 when alone") != std::string::npos);
}

TEST_CASE("a rod that never arrives locks out at once: 0 of 10 fails", "[verdict][lockout]") {
  const Bench bench = plain({{"/doors/0/rod_force/peak_N", "200"}, {"/use/hot_cycles", "30"}});
  const auto worst = bench.worst(CheckId::lockout, std::nullopt, "installation");
  CHECK(*worst.have == 0);
  CHECK(*worst.margin == 0);
  CHECK(worst.verdict == Verdict::fails);
  CHECK(*worst.need == 30);  // what asks for most
  CHECK(worst.band.has_value());
  CHECK(worst.why ==
        "with thermistors that have tripped before, the first throw already fails from cold (see \"throw "
        "ends within the pulse\")");
  const Bench unlocking =
      plain({{"/doors/0/rod_force_unlock", R"({"shape": "steady", "peak_N": 200})"}});
  CHECK(unlocking.worst(CheckId::lockout, std::nullopt, "installation")
            .why.find("the first unlocking throw already fails from cold") != std::string::npos);
}
