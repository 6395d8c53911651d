// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "support/verdict_jobs.h"
#include "support/worked_case.h"

// Stroke, force and time against hand calculations (docs/model.md section 8).
using namespace latchwright;
using tests::Bench;
using tests::Parts;
using tests::plain;
using tests::plain_stall_A;
using verdict::At;
using verdict::CheckId;
using verdict::Verdict;

TEST_CASE("stroke: 20 mm of actuator for 18 mm of lock and 1 mm of slack", "[verdict][stroke]") {
  const auto row = plain().worst(CheckId::stroke, 0);
  CHECK(*row.have == Approx(20));
  CHECK(*row.need == Approx(19));
  CHECK(*row.margin == Approx(20.0 / 19));
  CHECK(row.verdict == Verdict::holds);  // 1.053, starred: tight below 1.05
  CHECK(row.unit == "mm");
  CHECK_FALSE(row.at.has_value());
  CHECK(row.part.empty());

  const auto tight = plain({{"/limits/stroke_slack_mm", "1.5"}}).worst(CheckId::stroke, 0);
  CHECK(*tight.margin == Approx(20 / 19.5));
  CHECK(tight.verdict == Verdict::tight);
  CHECK(plain({{"/doors/0/stroke_mm", "19.5"}}).worst(CheckId::stroke, 0).verdict == Verdict::fails);
}

namespace {

/// N at standstill: 1000 N per N·m of (K i - tau); magnets lose 0.2 % a kelvin, friction grows by e^0.02 a
/// kelvin of cold.
double plain_force(double volts, double T) {
  const double K = 0.010 * (1 - 0.002 * (T - 25));
  const double friction = 0.002 * std::exp(0.02 * std::max(0.0, 25 - T));
  return 1000 * (K * plain_stall_A(volts, T) - friction);
}

}  // namespace

TEST_CASE("force at every corner, by hand", "[verdict][force]") {
  // At 13 V and 25 °C: i = 12/2 = 6 A, 1000 x (0.06 - 0.002) = 58 N.
  CHECK(plain_force(13, 25) == Approx(58));
  const Bench bench = plain({{"/doors/0/rod_force/cold_factor", "1.5"}});
  for (const double volts : {9.0, 13.0, 15.0}) {
    for (const double T : {-15.0, 25.0, 65.0}) {
      CAPTURE(volts, T);
      const auto row = bench.row(CheckId::force, 0, "", At{volts, T});
      // 20 N, half as much again at cold_C; 1.2 times at low_V, 1.5 times else.
      const double need = (T < 0 ? 30 : 20) * (volts == 9 ? 1.2 : 1.5);
      CHECK(*row.have == Approx(plain_force(volts, T)));
      CHECK(*row.need == Approx(need));
      CHECK(*row.margin == Approx(plain_force(volts, T) / need));
      CHECK(row.unit == "N");
    }
  }
  // Worst at low_V and cold: 8 V / 1.992 ohm = 4.016 A, K 10.8 mN·m/A, friction 4.45 mN·m: 38.9 N for 30 N
  // x 1.2.
  const auto worst = bench.worst(CheckId::force, 0);
  CHECK(worst.at->voltage_V == 9);
  CHECK(worst.at->ambient_C == -15);
  CHECK(*worst.have == Approx(38.92).margin(0.01));
  CHECK(*worst.need == Approx(36));
  CHECK(worst.verdict == Verdict::holds);
}

TEST_CASE("force: the larger of both directions counts", "[verdict][force]") {
  const Bench bench =
      plain({{"/doors/0/rod_force_unlock", R"({"shape": "over_centre", "friction_N": 5, "peak_N": 33})"}});
  // Hot, low: i = 8/2.0073, K 9.2 mN·m/A: 34.7 N against 33 x 1.2 = 39.6 N; cold: 38.9 N.
  const auto worst = bench.worst(CheckId::force, 0);
  CHECK(worst.at->ambient_C == 65);
  CHECK(worst.at->voltage_V == 9);
  CHECK(*worst.need == Approx(39.6));
  CHECK(*worst.margin == Approx(plain_force(9, 65) / 39.6));
  CHECK(worst.verdict == Verdict::fails);
}

TEST_CASE("force: a rod that helps everywhere needs nothing, a battery too weak has nothing",
          "[verdict][force]") {
  const auto helps = plain({{"/doors/0/rod_force", R"({"shape": "table", "x_mm": [0, 18], "N": [-5, -1]})"}})
                         .worst(CheckId::force, 0);
  CHECK_FALSE(helps.margin.has_value());
  CHECK(helps.verdict == Verdict::holds);
  // A friction of 50 mN·m eats all that 4 A give: 40 mN·m.
  const auto stuck = plain({{"/parts/5/motor/friction_mNm", "50"}}).worst(CheckId::force, 0);
  CHECK(*stuck.have == 0);
  CHECK(stuck.why.find("friction in the motor takes all its torque") != std::string::npos);
  CHECK(*stuck.margin == 0);
  CHECK(stuck.verdict == Verdict::fails);
}

TEST_CASE("force and voltage drop where another load takes the voltage", "[verdict][force][volt_drop]") {
  // 135 mohm before the contacts at 20 °C: 200 A drop some 27 V.
  const Bench bench = plain({{"/feed/length_m", "10"}, {"/feed/other_load_A", "200"}}, 2);
  const std::string words =
      "nothing is left for the motors: the other load of 200 A (/feed/other_load_A) takes the voltage";
  for (const double volts : {9.0, 13.0, 15.0}) {
    CAPTURE(volts);
    const auto force = bench.row(CheckId::force, 1, "", At{volts, 25});
    CHECK(*force.have == 0);
    CHECK(*force.margin == 0);
    CHECK(force.verdict == Verdict::fails);
    CHECK(force.why == words + "; the rod takes 20.0 N, times " + (volts == 9 ? "1.20" : "1.50"));
    const auto drop = bench.row(CheckId::volt_drop, 1, "", At{volts, 25});
    CHECK(drop.verdict == Verdict::fails);
    CHECK(*drop.need == 100);
    CHECK(drop.why == words);
    const auto relay = bench.row(CheckId::relay, std::nullopt, "relay", At{volts, 25});
    CHECK(relay.why.find(words) != std::string::npos);
  }
  // An ordinary one leaves enough, and is not counted as lost.
  const Bench some = plain({{"/feed/other_load_A", "10"}});
  CHECK(some.worst(CheckId::force, 0).why.find("nothing is left") == std::string::npos);
  CHECK(some.worst(CheckId::volt_drop, 0).why.find("the drop by the other load itself is not counted") !=
        std::string::npos);
  CHECK(plain().worst(CheckId::volt_drop, 0).why.find("other load") == std::string::npos);
}

TEST_CASE("force: all doors at stall share the feed", "[verdict][force]") {
  // Two doors: v_node - 1 = 12 - 0.04 x 2 i = 1.96 i, i = 12/2.04 A; 58 N falls to 1000 (0.01 i - 0.002).
  const auto row = plain({}, 2).row(CheckId::force, 1, "", At{13, 25});
  CHECK(*row.have == Approx(1000 * (0.01 * 12 / 2.04 - 0.002)));
}

TEST_CASE("throw time: the worked case's first throw", "[verdict][throw_time]") {
  // docs/model.md section 10: 0.101014 s at 12.6 V, 23 °C; 0.104962 s at 13.8 V, 75 °C.
  const tests::Changes volts{{"/supply/low_V", "9"}, {"/supply/high_V", "14.4"}};
  const Bench bench(tests::changed(tests::worked_case_json(), volts), Parts::own);
  const auto row = bench.row(CheckId::throw_time, 0, "", At{12.6, 23});
  CHECK(*row.need == Approx(0.101014).epsilon(2e-3));
  CHECK(*row.have == 0.7);
  CHECK(*row.margin == Approx(0.7 / 0.101014).epsilon(2e-3));
  CHECK(row.verdict == Verdict::holds);
  CHECK(row.unit == "s");
  const Bench hot(tests::changed(tests::worked_case_json(), {{"/supply/usual_V", "13.8"}}), Parts::own);
  CHECK(*hot.row(CheckId::throw_time, 0, "", At{13.8, 75}).need == Approx(0.104962).epsilon(2e-3));
  // Weakest battery: the motor is slowest.
  CHECK(bench.worst(CheckId::throw_time, 0).at->voltage_V == 9);
}

TEST_CASE("throw time: the worse direction counts", "[verdict][throw_time]") {
  const tests::Changes easy_lock{{"/doors/0/rod_force/peak_N", "2"},
                                 {"/doors/0/rod_force_unlock", R"({"shape": "steady", "peak_N": 22})"}};
  const tests::Changes easy_unlock{{"/doors/0/rod_force_unlock", R"({"shape": "steady", "peak_N": 2})"}};
  for (const auto& changes : {easy_lock, easy_unlock}) {
    const Bench bench(tests::changed(tests::worked_case_json(), changes), Parts::own);
    CHECK(*bench.row(CheckId::throw_time, 0, "", At{12.6, 23}).need == Approx(0.101014).epsilon(2e-3));
  }
}

TEST_CASE("throw time: a pulse too short, and a rod too stiff", "[verdict][throw_time]") {
  const Bench bench(tests::changed(tests::worked_case_json(), {{"/pulse/on_s", "0.06"}}), Parts::own);
  const auto late = bench.row(CheckId::throw_time, 0, "", At{12.6, 23});
  CHECK(*late.margin == 0);
  CHECK(late.verdict == Verdict::fails);
  CHECK(*late.need == Approx(0.101014).epsilon(2e-3));  // sought up to 0.6 s
  // Null for a rod that takes 200 N where 58 N are there.
  const auto never = plain({{"/doors/0/rod_force/peak_N", "200"}}).worst(CheckId::throw_time, 0);
  CHECK_FALSE(never.need.has_value());
  CHECK(*never.margin == 0);
  CHECK(never.verdict == Verdict::fails);
  // The slowest corner stands for the door, not the first that misses its pulse.
  CHECK(bench.worst(CheckId::throw_time, 0).at->voltage_V == 9);
  for (const auto& row : bench.rows(CheckId::throw_time))
    CHECK(*row.need <= *bench.worst(CheckId::throw_time, 0).need);
}
