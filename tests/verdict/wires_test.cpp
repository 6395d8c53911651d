// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "support/hand_wire.h"
#include "support/verdict_jobs.h"
#include "support/worked_case.h"

// Voltage drop, wire heating and the relay against hand calculations (docs/model.md section 8).
using namespace latchwright;
using tests::Bench;
using tests::Parts;
using tests::plain;
using tests::plain_winding_ohm;
using verdict::At;
using verdict::CheckId;
using verdict::Verdict;

namespace {

// Wires of some length: feed 2 m of 10 mohm/m, door runs 1.5 m there and back of 20 mohm/m, at 20 °C.
const tests::Changes lengths{{"/feed/length_m", "2"},
                             {"/doors/0/branch_length_m", "1.5"},
                             {"/doors/1/branch_length_m", "1.5"},
                             {"/doors/1/fuse", "\"f-5\""}};
double feed_ohm(double T) { return 0.020 * (1 + 0.00393 * (T - 20)); }
double run_ohm(double T) { return 0.060 * (1 + 0.00393 * (T - 20)); }

/// Two doors at standstill: v = V - R_s (i1 + i2), i_k = (v - 1)/R_k, so v - 1 = (V - 1)/(1 + R_s (1/R1 +
/// 1/R2)).
struct TwoDoors {
  double i1, i2, R_s, branch1, branch2;
};
TwoDoors two_doors(double volts, double T) {
  TwoDoors d{};
  d.R_s = 0.040 + feed_ohm(T);
  d.branch1 = run_ohm(T) + 0.010;
  d.branch2 = run_ohm(T) + 0.010 + 0.020;  // its own 5 A fuse
  const double R1 = d.branch1 + 1.9 + plain_winding_ohm(T), R2 = d.branch2 + 1.9 + plain_winding_ohm(T);
  const double left = (volts - 1) / (1 + d.R_s * (1 / R1 + 1 / R2));
  d.i1 = left / R1;
  d.i2 = left / R2;
  return d;
}

}  // namespace

TEST_CASE("voltage drop: all currents in the shared wires without the battery, and the door's own run",
          "[verdict][volt_drop]") {
  const Bench bench = plain(lengths, 2);
  for (const double volts : {9.0, 13.0, 15.0}) {
    for (const double T : {-15.0, 25.0, 65.0}) {
      CAPTURE(volts, T);
      const TwoDoors d = two_doors(volts, T);
      const double shared = (d.i1 + d.i2) * (d.R_s - 0.020);  // not the battery's 20 mohm
      const auto first = bench.row(CheckId::volt_drop, 0, "", At{volts, T});
      const auto second = bench.row(CheckId::volt_drop, 1, "", At{volts, T});
      CHECK(*first.have == 15);
      CHECK(*first.need == Approx(100 * (shared + d.i1 * d.branch1) / volts));
      CHECK(*second.need == Approx(100 * (shared + d.i2 * d.branch2) / volts));
      CHECK(*first.margin == Approx(15 / *first.need));
      CHECK(first.unit == "%");
    }
  }
  // Worst: hot copper loses most, and of 15 V a larger part is left above the brushes' 1 V.
  const auto worst = bench.worst(CheckId::volt_drop, 1);
  CHECK(worst.at->voltage_V == 15);
  CHECK(worst.at->ambient_C == 65);
  // Some 13 A x 43 mohm + 6.5 A x 101 mohm = 1.2 V of 15 V: 8 %.
  CHECK(*worst.need == Approx(8).margin(0.3));
  CHECK(worst.verdict == Verdict::holds);
  // Starred: 1.05.
  CHECK(plain({{"/limits/volt_drop_percent", std::to_string(*worst.need * 1.04)},
               lengths[0],
               lengths[1],
               lengths[2],
               lengths[3]},
              2)
            .worst(CheckId::volt_drop, 1)
            .verdict == Verdict::tight);
}

TEST_CASE("voltage drop: without current none", "[verdict][volt_drop]") {
  // 5 V supply under brushes of 3 V still moves current; a battery below the brushes' drop moves none.
  const Bench bench = plain({{"/parts/5/motor/brush_drop_V", "3"}, {"/supply/low_V", "4"}});
  CHECK(*bench.row(CheckId::volt_drop, 0, "", At{4, 25}).need ==
        Approx(100 * (0.5 * 0.020 + 0.5 * 0.010) / 4));
}

TEST_CASE("feed wire: the sum of all stall currents and the other load for 600 s", "[verdict][wire_heat]") {
  tests::Changes changes = lengths;
  changes.push_back({"/feed/other_load_A", "4"});
  const Bench bench = plain(changes, 2);
  const auto row = bench.row(CheckId::wire_heat, std::nullopt, "feed");
  // The plain thermistor never trips: 600 s. At 15 V and 45 °C; the other load first takes 4 A x (R_s -
  // contacts).
  const double T = 45;
  const double taken = 4 * (0.040 + feed_ohm(T) - 0.005);
  const TwoDoors d = two_doors(15 - taken, T);
  const tests::HandWire wire{2.0e-6, 0.010, 2.8e-3};
  const double rise = wire.after(d.i1 + d.i2 + 4, T, 600) - T;
  CHECK(*row.have == 100 - 45);
  CHECK(*row.need == Approx(rise).margin(0.05));
  CHECK(*row.margin == Approx(55 / rise).epsilon(0.005));
  CHECK(row.unit == "K");
  CHECK(row.at->voltage_V == 15);
  CHECK(row.at->ambient_C == 45);
  CHECK_FALSE(row.door.has_value());
}

TEST_CASE("door run: its stall current at high voltage and hot, in its bundle", "[verdict][wire_heat]") {
  tests::Changes changes = lengths;
  changes.push_back({"/doors/0/bundle_factor", "1.5"});
  const Bench bench = plain(changes, 2);
  const TwoDoors d = two_doors(15, 65);
  const tests::HandWire alone{1.0e-6, 0.020, 2.1e-3}, bundled{1.0e-6, 0.020, 2.1e-3, 1.5};
  const double rise1 = bundled.after(d.i1, 65, 600) - 65, rise2 = alone.after(d.i2, 65, 600) - 65;
  const auto first = bench.row(CheckId::wire_heat, 0), second = bench.row(CheckId::wire_heat, 1);
  CHECK(*first.have == 35);
  CHECK(*first.need == Approx(rise1).margin(0.05));
  CHECK(*second.need == Approx(rise2).margin(0.05));
  CHECK(rise1 > 1.3 * rise2);
  CHECK(first.at->voltage_V == 15);
  CHECK(first.at->ambient_C == 65);
}

TEST_CASE("wires carry the stall until the thermistors trip", "[verdict][wire_heat]") {
  // docs/model.md section 10: at 13.8 V and 75 °C 4.34545 A at first, tripped after 1.85080 s.
  const Bench bench(
      tests::changed(tests::worked_case_json(),
                     {{"/supply/charge_V", "13.8"}, {"/supply/high_V", "13.8"}, {"/feed/hot_C", "75"}}),
      Parts::own);
  const tests::HandWire branch{1.0e-6, 0.0185, 2.1e-3}, feed{2.5e-6, 0.0076, 3.0e-3};
  const auto run = bench.row(CheckId::wire_heat, 0);
  CHECK(*run.have == 85 - 75);
  CHECK(*run.need == Approx(branch.after(4.34545, 75, 1.85080) - 75).epsilon(0.005));
  const auto shared = bench.row(CheckId::wire_heat, std::nullopt, "feed");
  CHECK(*shared.need == Approx(feed.after(4.34545, 75, 1.85080) - 75).epsilon(0.005));
  CHECK(shared.why.find("trip") != std::string::npos);
}

TEST_CASE("wire heat: a class at or below the heat fails", "[verdict][wire_heat]") {
  const auto row = plain({{"/climate/hot_C", "100"}}).row(CheckId::wire_heat, 0);
  CHECK(*row.have == 0);
  CHECK(*row.margin == 0);
  CHECK(row.verdict == Verdict::fails);
}

TEST_CASE("feed wire: a door that never draws never trips, so the other load counts for 600 s",
          "[verdict][wire_heat]") {
  // 3 V brushes over a 4 V supply that the other load pulls below 3 V.
  const Bench bench =
      plain({{"/supply", R"({"internal_mohm": 20, "low_V": 4, "usual_V": 4, "charge_V": 4, "high_V": 4})"},
             {"/parts/5/motor/brush_drop_V", "3"},
             {"/feed/other_load_A", "40"}});
  const auto row = bench.row(CheckId::wire_heat, std::nullopt, "feed");
  const tests::HandWire wire{2.0e-6, 0.010, 2.8e-3};
  CHECK(*row.need == Approx(wire.after(40, 45, 600) - 45).epsilon(0.001));
}

TEST_CASE("relay: all doors' stall current at every corner", "[verdict][relay]") {
  const Bench bench = plain();
  // 8 A of relay over 14 V / 1.99229 ohm = 7.0271 A, cold and at high_V.
  const auto worst = bench.worst(CheckId::relay, std::nullopt, "relay");
  CHECK(*worst.have == 8);
  CHECK(*worst.need == Approx(7.0271).epsilon(1e-4));
  CHECK(*worst.margin == Approx(8 / 7.0271).epsilon(1e-4));
  CHECK(worst.verdict == Verdict::tight);  // 1.138
  CHECK(worst.at->voltage_V == 15);
  CHECK(worst.at->ambient_C == -15);
  CHECK(worst.unit == "A");
  CHECK(bench.rows(CheckId::relay).size() == 9);
  // Two doors: 2 x 12 V / (2 + 0.04) ohm at 13 V and 25 °C.
  CHECK(*plain({}, 2).row(CheckId::relay, std::nullopt, "relay", At{13, 25}).need == Approx(2 * 12 / 2.04));
}
