// SPDX-License-Identifier: GPL-3.0-or-later
// Parts at the ends of what a job may hold: the engine against CVODE (SUNDIALS), within docs/model.md
// section 9.
#include <catch2/catch.hpp>

#include "reference/compare/extreme_studies.h"

using namespace latchwright;

TEST_CASE("extreme but lawful parts: the engine agrees with CVODE", "[sim][reference]") {
  std::size_t throws = 0, trips = 0;
  for (const auto& row : tests::extreme_rows()) {
    INFO(row.name);
    const tests::ExtremeResult result = tests::compare(row);
    for (const auto* outcome : {&result.stall, &result.cycles}) {
      for (const auto& held : outcome->wrong) FAIL_CHECK(held.text());
      CHECK_FALSE(outcome->near_edge);
    }
    const auto there = [&](const char* what) {
      const tests::Held* held = result.find(what);
      return held != nullptr && held->reference.value.has_value();
    };
    if (there("first_throw_s")) ++throws;
    if (there("trip_time_s")) ++trips;
    CHECK(there("final_winding_C"));
    CHECK(there("cycles_done"));
  }
  // A table in which nothing throws or trips would say little.
  CHECK(throws >= 8);
  CHECK(trips >= 8);
}
