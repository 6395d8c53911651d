// SPDX-License-Identifier: GPL-3.0-or-later
// Whatever the checker accepts can be computed: jobs drawn over all that the field tables permit. The first
// 300 of those of which tests/load/deep runs 100 000.
#include <catch2/catch.hpp>

#include "load/lawful_run.h"

using namespace latchwright;

TEST_CASE("load: random jobs over all lawful ranges give lawful figures", "[load][slow]") {
  constexpr std::uint64_t seed = 1;
  constexpr std::size_t drawn = 300;
  std::size_t accepted = 0;
  std::size_t off_balance = 0;
  double worst = 0;
  for (std::size_t index = 0; index < drawn; ++index) {
    const tests::LawfulRun run = tests::run_lawful(seed, index);
    INFO("seed " << seed << " job " << index);
    if (!run.accepted) continue;
    ++accepted;
    CHECK(run.unsolved == "");
    CHECK(run.over_budget == "");
    for (const auto& text : run.wrong) FAIL_CHECK(text);
    if (run.imbalance > tests::owed_balance) ++off_balance;
    worst = std::max(worst, run.imbalance);
  }
  CAPTURE(accepted, worst);
  // Else the draw says nothing.
  CHECK(accepted > drawn * 9 / 10);
  CHECK(worst > 0);
  CHECK(static_cast<double>(off_balance) <= tests::most_missing * static_cast<double>(accepted));
}

TEST_CASE("load: random jobs that once did not come to an end or lost energy", "[load][slow]") {
  struct Job {
    const char* what_was_wrong;
    std::uint64_t seed;
    std::size_t index;
  };
  const Job job =
      GENERATE(Job{"an event between moments that differ by what time is rounded to", 11, 43},
               Job{"a rotor braked so quickly that its current starts and stops in one moment", 7, 47427},
               Job{"steps far shorter than anything that happens", 7, 191},
               Job{"steps far shorter than anything that happens", 1, 291},
               Job{"steps far shorter than anything that happens", 1, 311},
               Job{"a current that leaps where a thermistor's table begins", 7, 50327},
               Job{"a rotor stopped by an event of the same nanosecond", 7, 51943},
               Job{"a swing passed over as it went through its middle", 7, 67387},
               Job{"quintics trusted over a step that is long against a rotor", 7, 33171},
               Job{"friction that drifts with the housing within a step", 7, 24419},
               Job{"a magnet that weakens within a step", 7, 6275},
               Job{"a lag that a quick thermistor feeds back into", 7, 18495},
               Job{"measured by a stall of which the motor takes a hundredth", 7, 50962},
               Job{"a load that bends under a rotor that hardly draws current", 7, 57419},
               Job{"steps so short that nothing they change outlives rounding", 7, 39139},
               Job{"no step short enough before an event", 7, 53202},
               Job{"a current that starts and stops in one moment, after a rest", 7, 77150},
               Job{"a current that starts and stops in one moment, after a rest", 7, 81487},
               Job{"a current that leapt as the full equations took over", 7, 61890},
               Job{"a cubic of temperatures where a millikelvin turns a resistance over", 7, 64431},
               Job{"a lag that warms the thermistor in L/R", 7, 76147},
               Job{"a load that ends in no time, and what the gears lose with it", 7, 72147},
               Job{"an arrival missed behind a turn", 7, 83510},
               Job{"a load that turned over and over within the edges of its turn", 7, 42059},
               Job{"a rotor that hardly draws current in a strong supply", 7, 93399},
               Job{"measured by a second, of which the pulse is a fiftieth", 7, 49083});
  INFO("seed " << job.seed << " job " << job.index << ": " << job.what_was_wrong);
  const tests::LawfulRun run = tests::run_lawful(job.seed, job.index);
  CHECK(run.accepted);
  CHECK(run.unsolved == "");
  CHECK(run.over_budget == "");
  for (const auto& text : run.wrong) FAIL_CHECK(text);
}
