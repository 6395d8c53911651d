// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>

#include "verdict/cure_trial.h"

// What a cure does to the other checks: the difference of two examinations, and what that means for the
// order.
using namespace latchwright;
using tests::catalogue_study;
using tests::cure_job_json;
using tests::setting_json;
using verdict::CheckId;
using verdict::CheckRow;
using verdict::Cure;
using verdict::Examination;
using verdict::Move;
using verdict::Verdict;

namespace {

Examination examine(const std::string& json, unsigned workers = 1) {
  base::NoProgress quiet;
  return verdict::examine(catalogue_study(json), workers, quiet);
}

const CheckRow* row_of(const Examination& in, CheckId id, const std::optional<std::size_t>& door,
                       const std::string& part) {
  for (const CheckRow& row : in.worst) {
    if (row.id == id && row.door == door && row.part == part) return &row;
  }
  return nullptr;
}

/// A run so thin and long that the rod lacks force, and that its fuse protects it only because no short
/// circuit in it draws much: more copper breaks that, and a pulse long enough for the slow throw locks out.
std::string crossed_json() {
  return cure_job_json({{"/doors/0/wire", "\"wire-0.35\""},
                        {"/doors/0/branch_length_m", "8"},
                        {"/doors/0/rod_force/peak_N", "26"},
                        {"/doors/0/fuse", "\"fuse-medium-15\""}});
}

/// An own fuse that is not there now: a cure that brings a subject.
std::string unfused_json() {
  return cure_job_json({{"/feed/fuse", "\"fuse-medium-30\""},
                        {"/feed/length_m", "4"},
                        {"/doors/0/fuse", ""},
                        {"/doors/0/wire", "\"wire-0.5\""}});
}

bool differs(const std::optional<double>& a, const std::optional<double>& b) {
  if (!a || !b) return a.has_value() != b.has_value();
  return std::fabs(*b - *a) > 0.01 * *a;
}

}  // namespace

TEST_CASE("moves of a cure: the difference of two examinations", "[verdict][cure][slow]") {
  std::size_t moved = 0, brought = 0, broken = 0;
  for (const std::string& json : {crossed_json(), unfused_json(), cure_job_json({{"/pulse/on_s", "0.06"}})}) {
    const Examination now = examine(json);
    for (const CheckRow& cured : now.worst) {
      CHECK((cured.verdict == Verdict::fails || cured.cures.empty()));
      for (const Cure& cure : cured.cures) {
        CAPTURE(cure.change.pointer, cure.change.text);
        if (std::holds_alternative<std::monostate>(cure.change.passes_at)) continue;
        const Examination then =
            examine(tests::changed(json, {{cure.change.pointer, setting_json(cure.change.passes_at)}}));
        std::vector<Move> wanted;
        std::vector<CheckId> breaks;
        for (const CheckRow& after : then.worst) {
          const CheckRow* before = row_of(now, after.id, after.door, after.part);
          if (before == &cured) {
            CHECK(after.verdict != Verdict::fails);
            continue;
          }
          Move move{after.id,     after.door,   after.part,   std::nullopt,
                    after.margin, std::nullopt, after.verdict};
          if (before) {
            move.margin_now = before->margin;
            move.verdict_now = before->verdict;
          }
          if (before && before->verdict == after.verdict && !differs(before->margin, after.margin)) continue;
          wanted.push_back(move);
          brought += before == nullptr;
          const bool fails_now = before && before->verdict == Verdict::fails;
          if (after.verdict == Verdict::fails && !fails_now &&
              (breaks.empty() || breaks.back() != after.id)) {
            breaks.push_back(after.id);
          }
        }
        CHECK((cure.moves == wanted));
        CHECK((cure.breaks == breaks));
        moved += wanted.size();
        broken += breaks.size();
      }
    }
  }
  CHECK(moved > 10);
  CHECK(brought > 0);
  CHECK(broken > 0);
}

TEST_CASE("cures that break nothing stand first, and the first is the one to make", "[verdict][cure]") {
  const Examination found = examine(crossed_json());
  const CheckRow* force = row_of(found, CheckId::force, 0, "");
  REQUIRE(force);
  REQUIRE(force->verdict == Verdict::fails);
  // More copper in the run is nearest, and leaves it behind a fuse that no longer protects it.
  const tests::Bench bench(crossed_json(), tests::Parts::catalogue);
  const auto nearest = verdict::find_cure(*force, bench.findings());
  REQUIRE(nearest.has_value());
  CHECK(nearest->pointer == "/doors/0/wire");
  REQUIRE(force->cures.size() > 1);
  REQUIRE(force->change.has_value());
  CHECK(force->cures.front().breaks.empty());
  CHECK((*force->change == force->cures.front().change));
  CHECK_FALSE(force->change->pointer == "/doors/0/wire");
  CHECK(force->cures.back().change.pointer == "/doors/0/wire");
  CHECK(force->cures.back().breaks == std::vector<CheckId>{CheckId::fuse_guard});
  for (const CheckRow& row : found.worst) {
    bool breaking = false;
    for (const Cure& cure : row.cures) {
      CAPTURE(cure.change.text);
      if (breaking) CHECK_FALSE((cure.breaks.empty() && cure.change.passes_at.index() != 0));
      breaking = breaking || !cure.breaks.empty();
    }
  }
}

TEST_CASE("cures do not depend on the number of workers", "[verdict][cure]") {
  for (const std::string& json : {crossed_json(), unfused_json()}) {
    const Examination one = examine(json, 1), two = examine(json, 2);
    REQUIRE(one.worst.size() == two.worst.size());
    std::size_t cures = 0;
    for (std::size_t k = 0; k < one.worst.size(); ++k) {
      CHECK((one.worst[k].cures == two.worst[k].cures));
      CHECK((one.worst[k].change == two.worst[k].change));
      cures += one.worst[k].cures.size();
    }
    CHECK(cures > 1);
  }
}

TEST_CASE("every failing condition of a subject lists its cures, others list none", "[verdict][cure]") {
  const Examination found = examine(crossed_json());
  std::size_t listed = 0;
  for (const CheckRow& row : found.all) {
    const CheckRow* worst = row_of(found, row.id, row.door, row.part);
    REQUIRE(worst);
    if (row.verdict == Verdict::fails) {
      CHECK((row.cures == worst->cures));
      listed += !row.cures.empty();
    } else {
      CHECK(row.cures.empty());
    }
  }
  CHECK(listed > found.worst.size() / 10);
}
