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
