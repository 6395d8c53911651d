// SPDX-License-Identifier: GPL-3.0-or-later
// Which way the count of a map moves with the rest and with the pulse, on jobs drawn at random: physics knows
// the direction without knowing the figure.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

#include "reference/compare/random_study.h"
#include "sim/lockout.h"

using namespace latchwright;
using tests::Draw;
using tests::StudyCase;

namespace {

constexpr std::uint64_t seed = 47;
constexpr std::size_t few_doors = 5;

/// The next drawn study of one to five doors.
StudyCase next_study(std::size_t& index) {
  for (;;) {
    StudyCase study = tests::random_study(seed, index++);
    if (study.study.doors.size() <= few_doors) return study;
  }
}

int count(const StudyCase& drawn, double on_s, double gap_s) {
  sim::Condition at = drawn.at;
  at.voltage_V = std::max(11.0, at.voltage_V);
  at.after_trip = true;
  base::NoProgress quiet;
  return sim::count_worst(drawn.study, at, {.cycles = 30, .on_s = on_s, .gap_s = gap_s}, quiet).cycles_done;
}

}  // namespace

TEST_CASE("map directions: a longer rest never gives fewer cycles", "[spread][map][slow]") {
  constexpr int wanted = 100;
  int studies = 0, more = 0;
  for (std::size_t index = 0; studies < wanted;) {
    const StudyCase drawn = next_study(index);
    Draw draw(index);
    const double on_s = draw.around(0.15, 1.5);
    std::vector<double> rests{0};
    for (int n = 0; n < 5; ++n) rests.push_back(draw.around(0.05, 10));
    std::sort(rests.begin(), rests.end());
    std::vector<int> counts;
    for (const double rest : rests) counts.push_back(count(drawn, on_s, rest));
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

TEST_CASE("map directions: past the throw a longer pulse never gives more cycles", "[spread][map][slow]") {
  constexpr int wanted = 100;
  int studies = 0, fewer = 0;
  for (std::size_t index = 1000; studies < wanted;) {
    const StudyCase drawn = next_study(index);
    Draw draw(index);
    const double gap_s = draw.around(0.2, 3);
    std::vector<double> pulses;
    for (int n = 0; n < 6; ++n) pulses.push_back(draw.around(0.05, 3));
    std::sort(pulses.begin(), pulses.end());
    std::vector<int> counts;
    for (const double pulse : pulses) counts.push_back(count(drawn, pulse, gap_s));
    const auto peak = std::max_element(counts.begin(), counts.end());
    if (*peak == 0) continue;
    ++studies;
    fewer += *peak > counts.back();
    for (auto k = static_cast<std::size_t>(peak - counts.begin()); k + 1 < pulses.size(); ++k) {
      INFO(drawn.name << ", rest " << gap_s << " s, " << drawn.at.ambient_C << " degC, pulses " << pulses[k]
                      << " and " << pulses[k + 1] << " s: " << counts[k] << " and " << counts[k + 1]);
      CHECK(counts[k + 1] <= counts[k]);
    }
  }
  CHECK(fewer > wanted / 3);
}
