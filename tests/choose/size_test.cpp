// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>

#include "base/failure.h"
#include "choose/ranking.h"
#include "io/json.h"
#include "report/check_words.h"
#include "report/size_report.h"
#include "support/open_jobs.h"
#include "support/verdict_jobs.h"
#include "support/words.h"
#include "verdict/examine.h"

// What is chosen passes when it is checked by itself, is no larger than it must be, and is ranked as
// promised.
using namespace latchwright;
using choose::SizeResult;
using model::PlaceKind;
using verdict::CheckRow;
using verdict::Verdict;

namespace {

SizeResult size_of(const model::Study& study, unsigned workers = 2) {
  base::NoProgress quiet;
  return choose::size(study, workers, quiet);
}

verdict::Examination examine(const model::Study& study) {
  base::NoProgress quiet;
  return verdict::examine(study, 2, quiet);
}

const CheckRow& row_like(const verdict::Rows& rows, const CheckRow& wanted) {
  for (const CheckRow& row : rows) {
    if (row.id == wanted.id && row.door == wanted.door && row.part == wanted.part) return row;
  }
  throw std::runtime_error("no such row");
}

/// Every set stands up to an examination of the job that a file of it would hold.
void check_picks(const SizeResult& result) {
  for (std::size_t n = 0; n < result.picks.size(); ++n) {
    const choose::Pick& pick = result.picks[n];
    CAPTURE(n);
    const auto own = examine(tests::again(pick.set.study, pick.set.study.job));
    CHECK(own.pass);
    REQUIRE(own.worst.size() == pick.set.rows.size());
    for (std::size_t k = 0; k < own.worst.size(); ++k) {
      CAPTURE(k, own.worst[k].why);
      CHECK(own.worst[k].margin == pick.set.rows[k].margin);
      CHECK(own.worst[k].verdict == pick.set.rows[k].verdict);
    }
    if (n > 0) CHECK_FALSE(choose::better(pick, result.picks[n - 1], result.open));
  }
}

/// What a person reads names every part of the first set, its weakest link, and what else would pass.
void check_text(const model::Study& study, const SizeResult& result) {
  const std::string text = report::size_text(study, result, {});
  const choose::Pick& first = result.picks.front();
  for (const model::Place& place : result.open) {
    const auto& part = model::part_at(first.set.study, place);
    CAPTURE(text);
    CHECK(tests::holds(text, part ? "(" + part->id + ")" : std::string("none")));
  }
  CHECK(tests::holds(text, "Weakest link"));
  const CheckRow& weakest = first.set.rows[first.set.weakest];
  CHECK(tests::holds(text, report::have_and_need(weakest)));
  for (std::size_t n = 1; n < result.picks.size(); ++n)
    CHECK(tests::holds(text, fmt::format("\n  {}. ", n + 1)));
  for (const choose::TurnedDown& entry : result.turned_down) {
    if (entry.reason == choose::Reason::larger) CHECK(tests::holds(text, "Larger than needed: "));
  }
}

/// A part turned down by a check: put into the first set, that check is no better than it was said to be.
void check_reasons(const SizeResult& result, std::size_t every) {
  const choose::Pick& first = result.picks.empty() ? result.nearest->pick : result.picks.front();
  std::size_t looked = 0, count = 0;
  for (const choose::TurnedDown& entry : result.turned_down) {
    const bool actuator = std::holds_alternative<model::Actuator>(entry.part->body);
    if (entry.reason == choose::Reason::larger) CHECK(entry.have > entry.need);
    if (entry.reason != choose::Reason::check || actuator || count++ % every != 0) continue;
    ++looked;
    CAPTURE(entry.part->id, entry.place);
    model::Study changed = first.set.study;
    // The places are those with the first set's part that the entry names.
    for (const model::Place& place : result.open) {
      const auto& fitted = model::part_at(first.set.study, place);
      const std::string name = place.kind == PlaceKind::feed_wire   ? "feed"
                               : place.kind == PlaceKind::main_fuse ? "main fuse"
                               : place.kind == PlaceKind::relay     ? "relay"
                               : place.kind == PlaceKind::door_wire ? "door run"
                               : place.kind == PlaceKind::door_fuse ? "fuse, "
                                                                    : "no";
      if (!entry.place.starts_with(name) || fitted == entry.part) continue;
      if (place.kind >= PlaceKind::actuator &&
          entry.place.find(first.set.study.job.doors[place.door].name) == std::string::npos) {
        continue;
      }
      model::fit(changed, place, entry.part);
    }
    const auto then = examine(tests::again(changed, changed.job));
    CHECK(row_like(then.worst, *entry.row).verdict != Verdict::holds);
  }
  CHECK(looked > 3);
}

}  // namespace

TEST_CASE("size: two doors of the catalogue", "[choose][slow]") {
  const SizeResult result = size_of(tests::open_job({{"left", 2.2}, {"right", 2.8}}));
  REQUIRE_FALSE(result.picks.empty());
  check_picks(result);
  check_reasons(result, 7);
  CHECK(result.picks.front().set.count(Verdict::tight) == 0);
}

TEST_CASE("size: the open example and the open van", "[choose][slow]") {
  for (const model::Study& study : {tests::open_example("five-door-estate"), tests::open_van()}) {
    const SizeResult result = size_of(study);
    REQUIRE_FALSE(result.picks.empty());
    check_picks(result);
    check_reasons(result, 11);
    check_text(study, result);
  }
}

TEST_CASE("size: published installer practice for ordinary actuators", "[choose][published][slow]") {
  // 15 A for two doors, 30 A for four: an alarm installer's technical manual, read at the source. 25 A is the
  // next below, and what the smallest-fuse rule gives for 35 N actuators. A fuse of 7.5 or 10 A in each door
  // run is not in that manual: short circuits at the far ends demand it here.
  for (const std::string actuator : {"act-ordinary-2w", "act-ordinary-5w", "act-ordinary-2w-40"}) {
    CAPTURE(actuator);
    const std::vector<tests::OpenDoor> doors{
        {"front left", 2.2}, {"front right", 2.8}, {"rear left", 3.4}, {"rear right", 3.8}};
    for (const std::size_t count : {2u, 4u}) {
      const SizeResult result =
          size_of(tests::open_job({doors.begin(), doors.begin() + static_cast<long>(count)}, actuator));
      REQUIRE_FALSE(result.picks.empty());
      const model::Study& first = result.picks.front().set.study;
      const double main_A = std::get<model::Fuse>(first.feed.fuse->body).rating_A;
      if (count == 2) {
        CHECK(main_A == 15);
      } else {
        CHECK((main_A == 25 || main_A == 30));
      }
      for (const auto& door : first.doors) {
        const double own_A = std::get<model::Fuse>(door.fuse->body).rating_A;
        CHECK((own_A == 7.5 || own_A == 10));
      }
    }
  }
}

TEST_CASE("size: nothing smaller would do", "[choose][slow]") {
  const SizeResult result = size_of(tests::open_job({{"left", 2.2}, {"right", 2.8}}, "act-ordinary-2w"));
  REQUIRE_FALSE(result.picks.empty());
  const choose::Pick& first = result.picks.front();
  const auto& catalogue = *first.set.study.catalogue;
  const auto smaller = [&](const model::PartPtr& now) {
    std::vector<model::PartPtr> parts;
    if (const auto* wire = std::get_if<model::Wire>(&now->body)) {
      for (const auto& other : catalogue.parts_of<model::Wire>()) {
        const auto& w = std::get<model::Wire>(other->body);
        if (w.area < wire->area && w.class_C == wire->class_C && w.short_time_C == wire->short_time_C)
          parts.push_back(other);
      }
    } else if (const auto* fuse = std::get_if<model::Fuse>(&now->body)) {
      for (const auto& other : catalogue.parts_of<model::Fuse>()) {
        const auto& f = std::get<model::Fuse>(other->body);
        if (f.rating_A < fuse->rating_A && f.family == fuse->family) parts.push_back(other);
      }
    } else {
      for (const auto& other : catalogue.parts_of<model::Relay>()) {
        if (std::get<model::Relay>(other->body).rated_A < std::get<model::Relay>(now->body).rated_A)
          parts.push_back(other);
      }
    }
    return parts;
  };
  for (const model::Place& place : result.open) {
    for (const auto& part : smaller(model::part_at(first.set.study, place))) {
      CAPTURE(model::pointer_of(place), part->id);
      model::Study changed = first.set.study;
      model::fit(changed, place, part);
      const auto then = examine(changed);
      const auto holding = [](const verdict::Rows& rows) {
        return std::count_if(rows.begin(), rows.end(),
                             [](const CheckRow& r) { return r.verdict == Verdict::holds; });
      };
      // What does as well would be one more reel.
      const bool used = std::any_of(result.open.begin(), result.open.end(), [&](const model::Place& other) {
        return !(other == place) &&
               model::part_at(first.set.study, other) == model::part_at(first.set.study, place);
      });
      const bool wire = std::holds_alternative<model::Wire>(part->body);
      if (!(wire && used)) CHECK(holding(then.worst) < holding(first.set.rows));
      CHECK(holding(then.worst) <= holding(first.set.rows));
    }
  }
}

TEST_CASE("size: one worker and two give the same bytes", "[choose][slow]") {
  const model::Study study = tests::open_job({{"left", 2.2, 18, 24}, {"hatch", 4.5, 19, 30}});
  CHECK(io::write_json(report::size_json(study, size_of(study, 1))) ==
        io::write_json(report::size_json(study, size_of(study, 2))));
}

TEST_CASE("size: a complete job is its own and only set", "[choose]") {
  const SizeResult open = size_of(tests::open_job({{"left", 2.2}}, "act-ordinary-2w"));
  REQUIRE_FALSE(open.picks.empty());
  const SizeResult result = size_of(open.picks.front().set.study);
  REQUIRE(result.picks.size() == 1);
  CHECK(result.open.empty());
  CHECK(result.turned_down.empty());
}

TEST_CASE("size: a stroke that no actuator has is an answer", "[choose]") {
  const SizeResult result = size_of(tests::open_job({{"left", 2.2, 60}}));
  CHECK(result.picks.empty());
  REQUIRE(result.nearest);
  CHECK(result.nearest->sunk_by.id == verdict::CheckId::stroke);
  CHECK(result.nearest->sunk_by.need == Approx(61));
  CHECK_FALSE(result.nearest->job_change);
  // The longest of the catalogue comes nearest.
  double longest = 0;
  for (const auto& part : result.nearest->pick.set.study.catalogue->parts_of<model::Actuator>()) {
    longest = std::max(longest, std::get<model::Actuator>(part->body).stroke * 1e3);
  }
  CHECK(*result.nearest->sunk_by.have == Approx(longest));
}

TEST_CASE("size: the nearest miss and the least change that lets it pass", "[choose]") {
  model::Job job = tests::open_job({{"left", 2.2}}, "act-ordinary-2w").job;
  job.climate.hot_C = 80;
  job.use.hot_cycles = 12;
  const model::Study study = tests::again(tests::open_job({{"left", 2.2}}), job);
  const SizeResult result = size_of(study);
  CHECK(result.picks.empty());
  REQUIRE(result.nearest);
  CHECK(result.nearest->sunk_by.id == verdict::CheckId::lockout);
  REQUIRE(result.nearest->job_change);
  const choose::JobChange& change = *result.nearest->job_change;
  CAPTURE(change.text);
  const auto with = [&](double value) {
    model::Job changed = result.nearest->pick.set.study.job;
    if (change.pointer == "/pulse/on_s") changed.pulse.on_s = value;
    if (change.pointer == "/use/gap_s") changed.use.gap_s = value;
    if (change.pointer == "/use/hot_cycles") changed.use.hot_cycles = static_cast<int>(value);
    return examine(tests::again(study, changed)).pass;
  };
  const double step = change.pointer == "/pulse/on_s" ? 0.01 : change.pointer == "/use/gap_s" ? 0.1 : 1;
  const double back = change.passes_at > change.now ? -step : step;
  CHECK(with(change.passes_at));
  CHECK_FALSE(with(change.passes_at + back));
}

TEST_CASE("size: seven doors of which no two are alike", "[choose][slow]") {
  // Together they ask so much of relay and feed that only actuators with little current pass: no set that
  // takes the best of each door, or one for all, does.
  std::vector<tests::OpenDoor> doors{{"tail", 4, 20, 20}};
  for (int n = 0; n < 6; ++n) doors.push_back({"d" + std::to_string(n), 3 + 0.3 * n, 18, 20 + 0.5 * n});
  const SizeResult result = size_of(tests::open_job(doors));
  REQUIRE_FALSE(result.picks.empty());
  check_picks(result);
}

TEST_CASE("size: a smaller fuse that just bears its load, where a larger one protects no wire", "[choose]") {
  model::Job job = tests::open_job({{"a", 3}, {"b", 4}}, "act-heavy-2w").job;
  job.feed.other_load_A = 15;
  job.feed.bundle_factor = 3;
  job.feed.hot_C = 80;
  const SizeResult result = size_of(tests::again(tests::open_job({{"a", 3}}), job));
  REQUIRE_FALSE(result.picks.empty());
  check_picks(result);
}

TEST_CASE("size: the nearest miss has no thin wire behind a large fuse", "[choose]") {
  model::Job job = tests::open_job({{"a", 3}, {"b", 4}}, "act-heavy-2w").job;
  job.feed.other_load_A = 25;
  const SizeResult result = size_of(tests::again(tests::open_job({{"a", 3}}), job));
  REQUIRE(result.nearest);
  double thickest = 0;
  for (const auto& part : result.nearest->pick.set.study.catalogue->parts_of<model::Wire>()) {
    const auto& wire = std::get<model::Wire>(part->body);
    if (wire.class_C == result.nearest->pick.set.study.feed_wire().class_C)
      thickest = std::max(thickest, wire.area);
  }
  CHECK(result.nearest->sunk_by.id == verdict::CheckId::fuse_guard);
  CHECK(result.nearest->pick.set.study.feed_wire().area == thickest);
}

TEST_CASE("size: a pulse too short for any actuator is told with the pulse that is not", "[choose][slow]") {
  model::Job job = tests::open_job({{"a", 3}, {"b", 4}}).job;
  job.pulse.on_s = 0.1;
  const model::Study study = tests::again(tests::open_job({{"a", 3}}), job);
  const SizeResult result = size_of(study);
  CHECK(result.picks.empty());
  REQUIRE(result.nearest);
  CHECK(result.nearest->sunk_by.id == verdict::CheckId::throw_time);
  REQUIRE(result.nearest->job_change);
  CHECK(result.nearest->job_change->pointer == "/pulse/on_s");
  model::Job changed = result.nearest->pick.set.study.job;
  changed.pulse.on_s = result.nearest->job_change->passes_at;
  CHECK(examine(tests::again(study, changed)).pass);
}

TEST_CASE("size: of two equal relays the cheaper one", "[choose]") {
  model::Job job = tests::open_job({{"left", 2.2}}, "act-ordinary-2w").job;
  const auto study = tests::open_job({{"left", 2.2}});
  for (const auto& [id, price] : {std::pair("a-relay", 4.0), std::pair("b-relay", 3.0)}) {
    model::Part relay = *study.catalogue->find("relay-10");
    relay.id = id;
    relay.price = price;
    job.parts.push_back(relay);
  }
  const SizeResult result = size_of(tests::again(study, job));
  REQUIRE_FALSE(result.picks.empty());
  CHECK(result.picks.front().set.study.feed.relay->id == "b-relay");
  // The job's own parts travel with the filled job.
  CHECK(result.picks.front().set.study.job.parts.size() == 2);
}

TEST_CASE("size: a fuse made for too little voltage is turned down for it", "[choose]") {
  model::Job job = tests::open_job({{"left", 2.2}}, "act-ordinary-2w").job;
  const auto study = tests::open_job({{"left", 2.2}});
  model::Part fuse = *study.catalogue->find("fuse-medium-10");
  fuse.id = "a-fuse-12V";
  std::get<model::Fuse>(fuse.body).rated_V = 12;
  job.parts.push_back(fuse);
  const SizeResult result = size_of(tests::again(study, job));
  bool told = false;
  for (const auto& entry : result.turned_down) {
    if (entry.part->id != "a-fuse-12V") continue;
    if (entry.reason == choose::Reason::voltage) {
      told = true;
      CHECK(entry.have == 12);
      CHECK(entry.need == 15);
    }
  }
  CHECK(told);
}

TEST_CASE("size: can be cancelled", "[choose]") {
  class Stop final : public base::Progress {
   public:
    void report(double, std::string_view) override {}
    bool cancelled() const override { return true; }
  } stop;
  CHECK_THROWS_AS(choose::size(tests::open_job({{"left", 2.2}}), 2, stop), base::Cancelled);
}
