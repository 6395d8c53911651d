// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/size_words.h"

#include <catch2/catch.hpp>

#include "support/catalogue.h"
#include "support/open_jobs.h"

// Why a part was not chosen, in words: what each reason has to say for itself, with its figures and units.
using namespace latchwright;
using choose::Reason;

namespace {

std::string why(const std::string& id, Reason reason, double have = 0, double need = 0,
                std::size_t rank = 0) {
  choose::TurnedDown entry;
  entry.part = tests::catalogue().find(id);
  REQUIRE(entry.part != nullptr);
  entry.reason = reason;
  entry.have = have;
  entry.need = need;
  entry.rank = rank;
  return report::why_text(entry, {});
}

}  // namespace

TEST_CASE("size: every reason for turning a part down is said in words") {
  CHECK(why("wire-2.5", Reason::larger, 2.5, 1.5) == "larger than needed: 2.50 mm², 1.50 mm² serve");
  CHECK(why("fuse-medium-25", Reason::larger, 25, 15) == "larger than needed: 25.0 A, 15.0 A serve");
  CHECK(why("act-heavy-2w", Reason::weaker, 1.1, 1.25) ==
        "leaves the weaker link: margin 1.10, the first set's 1.25");
  CHECK(why("act-heavy-2w", Reason::weaker, 1.1, 1.25, 1) ==
        "leaves less margin after the weakest link: 1.10, the first set 1.25");
  CHECK(why("act-heavy-2w", Reason::not_judged, 1.4) ==
        "serves by itself (expected margin 1.40); not tried in a set");
  CHECK(why("wire-1.5-xlpe", Reason::insulation, 6, 10) ==
        "serves here, but one insulation goes for all: this one comes in 6 sizes, the first set's in 10");
  CHECK(why("fuse-medium-25", Reason::slower, 60, 5) ==
        "a slower family: up to 60.0 s at twice its rating, where 5.00 s serve");
  CHECK(why("wire-1.5", Reason::kinds) == "serves too, but is one more kind of part");
  CHECK(why("relay-30", Reason::equal) == "serves as well");
  CHECK(why("fuse-medium-25", Reason::voltage, 12, 15) == "made for 12 V, the job has 15 V");
}

TEST_CASE("size: a check that turned a part down is said with its condition and figures and verdict") {
  choose::TurnedDown entry;
  entry.part = tests::catalogue().find("wire-0.5");
  entry.reason = Reason::check;
  entry.row.emplace();
  entry.row->id = verdict::CheckId::fuse_guard;
  entry.row->at = verdict::At{12.6, 60};
  entry.row->have = 3.05;
  entry.row->unit = "s";
  entry.row->verdict = verdict::Verdict::fails;
  CHECK(report::why_text(entry, {}) ==
        "fuse protects the wire (12.6 V, 60 °C): have 3.05 s, the fuse may never open: fails");
}

TEST_CASE("size: places are named as an installer names them") {
  using model::PlaceKind;
  const model::Study study = tests::open_job({{"left", 2.2}, {"right", 2.8}}, "act-ordinary-2w");
  CHECK(report::place_text(study, {PlaceKind::feed_wire, 0}) == "feed");
  CHECK(report::place_text(study, {PlaceKind::main_fuse, 0}) == "main fuse");
  CHECK(report::place_text(study, {PlaceKind::relay, 0}) == "relay");
  CHECK(report::place_text(study, {PlaceKind::door_fuse, 1}) == "right");
}
