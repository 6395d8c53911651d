// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "support/hand_wire.h"
#include "support/verdict_jobs.h"

// Fuses in a short circuit: clearing it, and guarding the wires (docs/model.md sections 7 and 8).
using namespace latchwright;
using tests::Bench;
using tests::HandWire;
using tests::plain;
using verdict::At;
using verdict::CheckId;
using verdict::Verdict;

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

// Feed 2 m of 10 mohm/m (2 mm²) at 45 °C, door runs 1.5 m there and back of 20 mohm/m (1 mm²) at 65 °C; door
// 2 has its own 5 A fuse of 20 mohm.
tests::Changes short_job(tests::Changes more = {}) {
  const tests::Changes lengths{{"/feed/length_m", "2"},
                               {"/doors/0/branch_length_m", "1.5"},
                               {"/doors/1/branch_length_m", "1.5"},
                               {"/doors/1/fuse", "\"f-5\""}};
  more.insert(more.end(), lengths.begin(), lengths.end());
  return more;
}
const double feed_ohm = 0.040 + 0.020 * (1 + 0.00393 * 25);
const double run_ohm = 0.060 * (1 + 0.00393 * 45) + 0.010;
const double feed_A = 13 / feed_ohm;                      // some 210 A
const double door1_A = 13 / (feed_ohm + run_ohm);         // some 91 A
const double door2_A = 13 / (feed_ohm + run_ohm + 0.02);  // some 80 A

/// Slowest fuse of gates 1.35: 1800 s, 2: 5 s, 6: 0.1 s: straight in log time over log current, I²t beyond.
double slowest(double rating, double amps) {
  const double m = amps / rating;
  if (m < 1.35) return infinity;
  if (m >= 6) return 0.1 * 36 / (m * m);
  if (m >= 2) return 5 * std::pow(0.1 / 5, std::log(m / 2) / std::log(6.0 / 2));
  return 1800 * std::pow(5.0 / 1800, std::log(m / 1.35) / std::log(2 / 1.35));
}

double ratio(const HandWire& wire, double hot, double rating, double amps) {
  const double hurts = wire.fault_time(amps, hot, 160);
  return std::isinf(hurts) ? infinity : hurts / slowest(rating, amps);
}

struct Partial {
  double margin = infinity;
  double from_A = 0, to_A = 0;  // ratio below 1
};

/// The smallest ratio over 1.10 I_n <= I < bolted on a fine grid.
Partial scan(const HandWire& wire, double hot, double rating, double bolted) {
  Partial found;
  constexpr int points = 3000;
  for (int n = 0; n < points; ++n) {
    const double amps = 1.1 * rating * std::pow(bolted / (1.1 * rating), static_cast<double>(n) / points);
    const double here = ratio(wire, hot, rating, amps);
    found.margin = std::min(found.margin, here);
    if (here < 1 && found.from_A == 0) found.from_A = amps;
    if (here < 1) found.to_A = amps;
  }
  return found;
}

const HandWire feed{2.0e-6, 0.010, 2.8e-3}, run{1.0e-6, 0.020, 2.1e-3};

}  // namespace

TEST_CASE("fuse clears: the smallest short among the wires it is nearest to", "[verdict][fuse_clear]") {
  const Bench bench = plain(short_job({{"/parts/3/rating_A", "30"}}), 2);
  // Door 1 has no fuse of its own: its far end, 91 A, 3.04 times 30 A, between the gates at 2 and 6.
  const auto main = bench.row(CheckId::fuse_clear, std::nullopt, "main fuse");
  CHECK(door1_A == Approx(91).margin(0.5));
  CHECK(*main.have == 5);
  CHECK(*main.need == Approx(slowest(30, door1_A)));
  CHECK(*main.need == Approx(1.13).margin(0.05));
  CHECK(*main.margin == Approx(5 / slowest(30, door1_A)));
  CHECK(main.unit == "s");
  CHECK(main.at->voltage_V == 13);
  CHECK(main.at->ambient_C == 65);  // the condition; the feed and the fuse are at 45 °C in it
  CHECK(main.why.find("door 1") != std::string::npos);
  // Door 2's own: 80 A are 16 times 5 A.
  const auto own = bench.row(CheckId::fuse_clear, std::nullopt, "fuse, door 2");
  CHECK(*own.need == Approx(0.1 * 30 * 30 / (door2_A * door2_A)));
  // With both runs fused the main fuse has only the feed.
  const auto alone = plain(short_job({{"/parts/3/rating_A", "30"}, {"/doors/0/fuse", "\"f-5\""}}), 2)
                         .row(CheckId::fuse_clear, std::nullopt, "main fuse");
  CHECK(*alone.need == Approx(slowest(30, feed_A)));
  CHECK(alone.why.find("the feed") != std::string::npos);
}

TEST_CASE("fuse clears: the limit is the job's, a fuse that need not open fails", "[verdict][fuse_clear]") {
  const auto late = plain(short_job({{"/parts/3/rating_A", "30"}, {"/limits/clear_s", "1"}}), 2)
                        .row(CheckId::fuse_clear, std::nullopt, "main fuse");
  CHECK(*late.have == 1);
  CHECK(late.verdict == Verdict::fails);
  // 80 A: the first gate stands at 108 A, above the short.
  const auto never =
      plain(short_job({{"/parts/3/rating_A", "80"}}), 2).row(CheckId::fuse_clear, std::nullopt, "main fuse");
  CHECK_FALSE(never.need.has_value());
  CHECK(*never.margin == 0);
  CHECK(never.verdict == Verdict::fails);
}

TEST_CASE("fuse guards a door run: the bolted short at its far end", "[verdict][fuse_guard]") {
  const Bench bench = plain(short_job(), 2);
  const auto row = bench.row(CheckId::fuse_guard, 0);
  const double hurts = run.fault_time(door1_A, 65, 160), opens = slowest(15, door1_A);
  CHECK(*row.have == Approx(hurts).epsilon(1e-4));
  CHECK(*row.need == Approx(opens));
  CHECK(*row.margin == Approx(hurts / opens).epsilon(1e-4));
  CHECK(row.unit == "s");
  CHECK(row.at->voltage_V == 13);
  CHECK(row.at->ambient_C == 65);
  CHECK(row.part.empty());
  // Near k²A² = I²t (IEC 60364-5-54): from 65 to 160 °C k = 118.5 A·sqrt(s)/mm² for 17.24 nohm·m,
  // (118.5/91.2)² s times 17.24/20 for this stranding: 1.456 s, and a little more for what leaks away.
  CHECK(hurts == Approx(1.456 * 1.035).epsilon(0.02));
  // Safe when bolted, but not in a partial fault: tight, with the range.
  const Partial partial = scan(run, 65, 15, door1_A);
  REQUIRE(partial.margin < 1);
  CHECK(*row.margin > 1.15);
  CHECK(row.verdict == Verdict::tight);
  CHECK(row.why.find("unprotected from") != std::string::npos);
}

TEST_CASE("fuse guards a door run with its own fuse, the nearest upstream", "[verdict][fuse_guard]") {
  const auto row = plain(short_job(), 2).row(CheckId::fuse_guard, 1);
  const double hurts = run.fault_time(door2_A, 65, 160), opens = slowest(5, door2_A);
  CHECK(*row.margin == Approx(hurts / opens).epsilon(1e-4));
  CHECK(scan(run, 65, 5, door2_A).margin > 1.15);
  CHECK(row.verdict == Verdict::holds);
  CHECK(row.why.find("unprotected") == std::string::npos);
}

TEST_CASE("fuse guards the feed: the smaller of bolted and partial", "[verdict][fuse_guard]") {
  bool partial_decides = false, bolted_decides = false, partial_finite = false;
  for (const int rating : {10, 15, 20, 25, 28, 30, 40, 150}) {
    CAPTURE(rating);
    const Bench bench = plain(short_job({{"/parts/3/rating_A", std::to_string(rating)}}), 2);
    const auto row = bench.row(CheckId::fuse_guard, std::nullopt, "feed");
    const double bolted = ratio(feed, 45, rating, feed_A);
    const Partial partial = scan(feed, 45, rating, feed_A);
    const double wanted = std::min(bolted, partial.margin);
    REQUIRE(row.margin.has_value());
    CHECK(*row.margin == Approx(wanted).epsilon(2e-3).margin(1e-9));
    CHECK(row.verdict == (wanted < 1 ? Verdict::fails : wanted < 1.15 ? Verdict::tight : Verdict::holds));
    CHECK(row.at->ambient_C == 45);
    // Whatever decides, have and need are times of one current, and the wire does get hot there.
    CHECK(row.have.has_value());
    if (row.need) CHECK(*row.have / *row.need == Approx(*row.margin).epsilon(1e-6));
    if (partial.margin < 1) CHECK(row.why.find("unprotected from") != std::string::npos);
    partial_decides |= partial.margin < bolted;
    bolted_decides |= bolted < partial.margin;
    partial_finite |= partial.margin < bolted && partial.margin > 0;
  }
  CHECK(partial_decides);
  CHECK(partial_finite);
  CHECK(bolted_decides);
}

TEST_CASE("fuse guard: a wire that no current of the installation can hurt", "[verdict][fuse_guard]") {
  // 10 ohm of joints: 1.3 A at most.
  const auto row = plain(short_job({{"/doors/0/joints_mohm", "1000"}, {"/parts/1/area_mm2", "2.5"}}), 2)
                       .row(CheckId::fuse_guard, 0);
  CHECK_FALSE(row.margin.has_value());
  CHECK(row.verdict == Verdict::holds);
}
