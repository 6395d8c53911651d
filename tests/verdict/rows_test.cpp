// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>

#include "verdict/check_row.h"

// The rules of docs/model.md section 8 that hold for every check.
using namespace latchwright::verdict;

namespace {

CheckRow judged(CheckId id, double have, double need, std::size_t door = 0) {
  CheckRow row;
  row.id = id;
  row.door = door;
  row.have = have;
  row.need = need;
  judge(row);
  return row;
}

}  // namespace

TEST_CASE("margin is have over need, below 1 fails", "[verdict][rows]") {
  CHECK(*judged(CheckId::relay, 30, 20).margin == 1.5);
  CHECK(judged(CheckId::relay, 30, 20).verdict == Verdict::holds);
  CHECK(judged(CheckId::relay, 19.9, 20).verdict == Verdict::fails);
  CHECK(judged(CheckId::relay, 20, 20).verdict == Verdict::tight);
}

TEST_CASE("tight is below 1.15, and below 1.05 where the need holds a factor", "[verdict][rows]") {
  // The starred checks of docs/model.md section 8.
  const std::vector<CheckId> starred{CheckId::stroke, CheckId::force, CheckId::ptc_rating, CheckId::volt_drop,
                                     CheckId::fuse_load};
  for (const CheckInfo& check : check_infos()) {
    CAPTURE(check.key);
    const bool factored = std::find(starred.begin(), starred.end(), check.id) != starred.end();
    const double edge = factored ? 1.05 : 1.15;
    CHECK(judged(check.id, edge - 1e-6, 1).verdict == Verdict::tight);
    CHECK(judged(check.id, edge + 1e-6, 1).verdict == Verdict::holds);
  }
  CHECK(check_infos().size() == 14);
}

TEST_CASE("nothing needed holds without a margin, nothing there fails", "[verdict][rows]") {
  for (const double need : {0.0, -3.0}) {
    CHECK_FALSE(judged(CheckId::force, 5, need).margin.has_value());
    CHECK(judged(CheckId::force, 5, need).verdict == Verdict::holds);
    CHECK(judged(CheckId::force, 0, need).verdict == Verdict::fails);
    CHECK(judged(CheckId::force, -1, need).verdict == Verdict::fails);
  }
  CHECK(*judged(CheckId::force, -1, 5).margin == 0);
  CHECK(judged(CheckId::force, -1, 5).verdict == Verdict::fails);
}

TEST_CASE("worse first: fails, tight, holds, then the margin, none last", "[verdict][rows]") {
  const CheckRow fails = judged(CheckId::relay, 9, 10), fails_more = judged(CheckId::relay, 8, 10);
  const CheckRow tight = judged(CheckId::relay, 11, 10), holds = judged(CheckId::relay, 12, 10);
  const CheckRow none = judged(CheckId::relay, 12, 0);
  // A starred check holds at a margin where another is tight: the verdict counts first.
  const CheckRow starred = judged(CheckId::force, 10.6, 10);
  const std::vector<CheckRow> order{fails_more, fails, tight, starred, holds, none};
  for (std::size_t a = 0; a < order.size(); ++a) {
    for (std::size_t b = 0; b < order.size(); ++b) {
      CAPTURE(a, b);
      CHECK(worse(order[a], order[b]) == (a < b));
    }
  }
}

TEST_CASE("one row a check and subject, at its worst corner", "[verdict][rows]") {
  Rows all{judged(CheckId::force, 30, 20), judged(CheckId::force, 25, 20), judged(CheckId::force, 40, 20),
           judged(CheckId::force, 22, 20, 1), judged(CheckId::relay, 9, 10)};
  const Rows worst = worst_rows(all);
  REQUIRE(worst.size() == 3);
  CHECK(*worst[0].have == 25);
  CHECK(*worst[1].door == 1);
  CHECK(worst[2].id == CheckId::relay);
}

TEST_CASE("of rows that all fail with margin 0 the one that asks for most stands", "[verdict][rows]") {
  Rows all;
  for (const std::optional<double> need : {std::optional(0.9), std::optional(1.2), std::optional(1.0)}) {
    CheckRow row;
    row.id = CheckId::throw_time;
    row.door = 0;
    row.have = 0.5;
    row.need = need;
    row.margin = 0;
    row.verdict = Verdict::fails;
    all.push_back(row);
  }
  CHECK(*worst_rows(all)[0].need == 1.2);
  all.push_back(all[0]);
  all.back().need.reset();  // it never arrives
  CHECK_FALSE(worst_rows(all)[0].need.has_value());
}
