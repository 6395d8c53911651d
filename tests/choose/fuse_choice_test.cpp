// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>

#include "choose/fuse_choice.h"
#include "choose/size.h"
#include "support/open_jobs.h"
#include "verdict/checks.h"
#include "verdict/fuse_subjects.h"

// Fuses held against kept currents say what the checks say of them, which follow the currents anew.
using namespace latchwright;
using verdict::CheckId;

TEST_CASE("fuse demand: as the checks fuse_load and fuse_carry", "[choose][fuse]") {
  base::NoProgress quiet;
  const auto result =
      choose::size(tests::open_job({{"left", 2.2}, {"right", 3.5}}, "act-ordinary-5w"), 1, quiet);
  REQUIRE_FALSE(result.picks.empty());
  const model::Study& study = result.picks.front().set.study;
  const verdict::Findings findings(study, quiet);
  const choose::FuseDemand demand(findings);
  verdict::Rows rows = verdict::evaluate(CheckId::fuse_load, findings);
  const verdict::Rows carry = verdict::evaluate(CheckId::fuse_carry, findings);
  rows.insert(rows.end(), carry.begin(), carry.end());
  for (const auto& fuse : verdict::fuses_of(study)) {
    CAPTURE(fuse.name);
    std::optional<verdict::CheckRow> worst;
    for (const auto& row : rows) {
      if (row.part == fuse.name && (!worst || verdict::worse(row, *worst))) worst = row;
    }
    REQUIRE(worst);
    const auto found =
        demand.worst_row(fuse.door ? study.doors[*fuse.door].fuse : study.feed.fuse, fuse.door);
    CHECK(found.id == worst->id);
    CHECK(found.at->voltage_V == worst->at->voltage_V);
    CHECK(found.at->ambient_C == worst->at->ambient_C);
    // Half as many samples as the checks take.
    CHECK(*found.need == Approx(*worst->need).epsilon(2e-3));
    CHECK(*found.have == Approx(*worst->have).epsilon(1e-12));
  }
}
