// SPDX-License-Identifier: GPL-3.0-or-later
// Which way the count of a map moves with the rest and with the pulse, on jobs drawn at random: physics knows
// the direction without knowing the figure.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <tuple>
#include <vector>

#include "reference/compare/random_study.h"
#include "sim/cycle.h"
#include "sim/lockout.h"

using namespace latchwright;
using tests::Draw;
using tests::StudyCase;

namespace {

constexpr std::uint64_t study_seed = 47;
constexpr std::size_t few_doors = 5;

/// The next drawn study of one to five doors.
StudyCase next_study(std::size_t& index) {
  for (;;) {
    StudyCase study = tests::random_study(study_seed, index++);
    if (study.study.doors.size() <= few_doors) return study;
  }
}

sim::Condition condition(const StudyCase& drawn) {
  sim::Condition at = drawn.at;
  at.voltage_V = std::max(11.0, at.voltage_V);
  at.after_trip = true;
  return at;
}

sim::WorstCount count(const StudyCase& drawn, double on_s, double gap_s) {
  base::NoProgress quiet;
  return sim::count_worst(drawn.study, condition(drawn), {.cycles = 30, .on_s = on_s, .gap_s = gap_s}, quiet);
}

/// The slowest completed throw of the doors that the count is of, s.
double slowest_throw(const StudyCase& drawn, double on_s, double gap_s, const sim::WorstCount& of) {
  std::vector<std::size_t> doors;
  if (of.alone) doors = {*of.alone};
  base::NoProgress quiet;
  const auto result = sim::simulate_cycles(sim::make_circuit(drawn.study, condition(drawn), doors),
                                           {.cycles = 30, .on_s = on_s, .gap_s = gap_s}, {}, quiet);
  double slowest = 0;
  for (const auto& door : result.doors) slowest = std::max(slowest, door.slowest_throw_s.value_or(0));
  return slowest;
}

/// A longer pulse heats more, and gives a throw that heat has slowed more time. Where the count grows past
/// the pulse that first gives the most cycles, such throws must have used that time.
void check_pulses(const StudyCase& drawn, double gap_s, const std::vector<double>& pulses) {
  std::vector<sim::WorstCount> counts;
  for (const double pulse : pulses) counts.push_back(count(drawn, pulse, gap_s));
  const auto peak = std::max_element(counts.begin(), counts.end(), [](const auto& a, const auto& b) {
    return a.cycles_done < b.cycles_done;
  });
  for (auto k = static_cast<std::size_t>(peak - counts.begin()); k + 1 < pulses.size(); ++k) {
    INFO(drawn.name << ", rest " << gap_s << " s, " << drawn.at.ambient_C << " degC, pulses " << pulses[k]
                    << " and " << pulses[k + 1] << " s: " << counts[k].cycles_done << " and "
                    << counts[k + 1].cycles_done);
    const bool more = counts[k + 1].cycles_done > counts[k].cycles_done;
    CHECK((!more || slowest_throw(drawn, pulses[k + 1], gap_s, counts[k]) > pulses[k]));
  }
}

}  // namespace

TEST_CASE("map directions: a longer rest never gives fewer cycles", "[spread][map][slow]") {
  // Of actuators whose parts warm and cool about as fast as real ones; the next test says why.
  constexpr int wanted = 100;
  int studies = 0, more = 0;
  for (std::size_t index = 0; studies < wanted;) {
    const StudyCase drawn = next_study(index);
    if (drawn.features.contains("odd actuator")) continue;
    Draw draw(index);
    const double on_s = draw.around(0.15, 1.5);
    std::vector<double> rests{0};
    for (int n = 0; n < 5; ++n) rests.push_back(draw.around(0.05, 10));
    std::sort(rests.begin(), rests.end());
    std::vector<int> counts;
    for (const double rest : rests) counts.push_back(count(drawn, on_s, rest).cycles_done);
    if (counts.back() == 0) continue;
    ++studies;
    more += counts.back() > counts.front();
    for (std::size_t k = 0; k + 1 < rests.size(); ++k) {
      INFO(drawn.name << ", pulse " << on_s << " s, " << drawn.at.ambient_C << " degC, rests " << rests[k]
                      << " and " << rests[k + 1] << " s: " << counts[k] << " and " << counts[k + 1]);
      CHECK(counts[k + 1] >= counts[k]);
    }
  }
  CHECK(more > wanted / 3);  // else the draw did not ask
}

TEST_CASE("map directions: a hot winding can spare a thermistor that hardly cools", "[spread][map]") {
  // Study 1452 of seed 99: its thermistor and housing cool over minutes, its winding within seconds. The
  // longer rest lets the winding cool, the next pulse draws more current, and that warms the thermistor more
  // than the rest has cooled it. With a winding that stays at ambient the current is the same after any rest,
  // and so is the direction.
  auto drawn = tests::random_study(99, 1452);
  REQUIRE(drawn.study.doors.size() == 1);
  const double on_s = 1.43557, short_s = 1.40385, long_s = 5.46224;
  CHECK(count(drawn, on_s, long_s).cycles_done < count(drawn, on_s, short_s).cycles_done);
  model::Job job = drawn.study.job;
  for (auto& part : job.parts) {
    if (auto* actuator = std::get_if<model::Actuator>(&part.body)) actuator->thermal.winding_J_per_K = 1000;
  }
  auto changed = model::check_job(job, drawn.name, model::Catalogue());
  REQUIRE(changed.ok());
  drawn.study = std::move(changed.value());
  CHECK(count(drawn, on_s, long_s).cycles_done >= count(drawn, on_s, short_s).cycles_done);
}

TEST_CASE("map directions: past the throw a longer pulse gives no more cycles but by the time it leaves",
          "[spread][map][slow]") {
  constexpr int wanted = 100;
  int fewer = 0, studies = 0;
  for (std::size_t index = 1000; studies < wanted;) {
    const StudyCase drawn = next_study(index);
    Draw draw(index);
    const double gap_s = draw.around(0.2, 3);
    std::vector<double> pulses;
    for (int n = 0; n < 6; ++n) pulses.push_back(draw.around(0.05, 3));
    std::sort(pulses.begin(), pulses.end());
    int most = 0;
    for (const double pulse : pulses) most = std::max(most, count(drawn, pulse, gap_s).cycles_done);
    if (most == 0) continue;
    ++studies;
    fewer += most > count(drawn, pulses.back(), gap_s).cycles_done;
    check_pulses(drawn, gap_s, pulses);
  }
  CHECK(fewer > wanted / 3);
  // Two whose tripped thermistors still let a slow throw end: in 0.06 s nothing heats, in 0.19 s the slowed
  // throw does not end, in 0.5 s it does.
  for (const auto& [index, gap_s, pulses] :
       {std::tuple(1660u, 0.212006, std::vector<double>{0.06, 0.185742, 0.496504}),
        std::tuple(3169u, 0.582945, std::vector<double>{0.09, 0.307661, 0.94052})}) {
    const auto drawn = tests::random_study(99, index);
    CHECK(count(drawn, pulses[2], gap_s).cycles_done > count(drawn, pulses[1], gap_s).cycles_done);
    check_pulses(drawn, gap_s, pulses);
  }
}
