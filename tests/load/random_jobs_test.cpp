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

TEST_CASE("load: random jobs that once did not come to an end", "[load]") {
  struct Job {
    std::uint64_t seed;
    std::size_t index;
  };
  // 11/43: an event between two moments that differ by what time is rounded to; the others: steps far
  // shorter than anything that happened.
  for (const Job job : {Job{11, 43}, Job{7, 191}, Job{1, 291}, Job{1, 311}}) {
    INFO("seed " << job.seed << " job " << job.index);
    const tests::LawfulRun run = tests::run_lawful(job.seed, job.index);
    CHECK(run.accepted);
    CHECK(run.unsolved == "");
    for (const auto& text : run.wrong) FAIL_CHECK(text);
  }
}
