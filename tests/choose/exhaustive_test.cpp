// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "choose/size.h"
#include "support/open_jobs.h"
#include "verdict/examine.h"

// Against every combination of a small shelf, each one examined.
using namespace latchwright;
using model::PlaceKind;

namespace {

struct Shelf {
  std::vector<std::string> actuators, wires, fuses, relays;
};

struct Tried {
  model::Study study;
  bool pass;
  double weakest;
  double copper;
};

std::vector<Tried> try_all(const model::Study& open, const Shelf& shelf) {
  std::vector<Tried> all;
  const auto part = [&](const std::string& id) { return open.catalogue->find(id); };
  base::NoProgress quiet;
  for (const auto& actuator : shelf.actuators) {
    for (const auto& feed : shelf.wires) {
      for (const auto& run : shelf.wires) {
        for (const auto& main : shelf.fuses) {
          for (const auto& own : shelf.fuses) {
            for (const auto& relay : shelf.relays) {
              model::Study study = open;
              model::fit(study, {PlaceKind::actuator, 0}, part(actuator));
              model::fit(study, {PlaceKind::feed_wire, 0}, part(feed));
              model::fit(study, {PlaceKind::door_wire, 0}, part(run));
              model::fit(study, {PlaceKind::main_fuse, 0}, part(main));
              model::fit(study, {PlaceKind::door_fuse, 0}, part(own));
              model::fit(study, {PlaceKind::relay, 0}, part(relay));
              const auto seen = verdict::examine(study, 2, quiet);
              double weakest = 1e9;
              for (const auto& row : seen.worst) weakest = std::min(weakest, row.margin.value_or(1e9));
              const double copper = study.job.feed.length * study.feed_wire().area +
                                    2 * study.job.doors[0].branch_length * study.door_wire(0).area;
              all.push_back({study, seen.pass, weakest, copper});
            }
          }
        }
      }
    }
  }
  return all;
}

/// A catalogue of these parts alone, as a job's parts cannot take any away.
model::Study on_shelf(const model::Study& study, const Shelf& shelf) {
  auto catalogue = std::make_shared<model::Catalogue>();
  std::vector<model::Part> parts;
  for (const auto* list : {&shelf.actuators, &shelf.wires, &shelf.fuses, &shelf.relays}) {
    for (const auto& id : *list) parts.push_back(*study.catalogue->find(id));
  }
  for (const char* kind : {"ptc_curve", "fuse_family"}) {
    for (const auto& id : study.catalogue->ids_of(kind)) parts.push_back(*study.catalogue->find(id));
  }
  catalogue->add_layer("shelf", parts, "/parts");
  model::Study result = study;
  result.catalogue = catalogue;
  return result;
}

}  // namespace

TEST_CASE("size: finds a set wherever one of all combinations passes, and no larger one", "[choose][slow]") {
  const Shelf shelf{{"act-ordinary-2w", "act-light-5w"},
                    {"wire-0.35", "wire-0.75", "wire-1.5"},
                    {"fuse-medium-5", "fuse-medium-7.5", "fuse-medium-15"},
                    {"relay-10", "relay-20"}};
  struct Case {
    tests::OpenDoor door;
    bool possible;
  };
  for (const Case& c : {Case{{"door", 3.0, 18, 20}, true}, Case{{"door", 8.0, 16, 12}, true},
                        Case{{"door", 3.0, 18, 45}, false}}) {
    CAPTURE(c.door.branch_length_m, c.door.peak_N);
    const model::Study open = on_shelf(tests::open_job({c.door}), shelf);
    const auto all = try_all(open, shelf);
    base::NoProgress quiet;
    const auto result = choose::size(open, 2, quiet);
    const bool any = std::any_of(all.begin(), all.end(), [](const Tried& t) { return t.pass; });
    CHECK(any == c.possible);
    CHECK(!result.picks.empty() == any);
    if (result.picks.empty()) continue;
    const choose::Pick& first = result.picks.front();
    // A set of the same actuator in which everything holds has at least nearly as much copper: a smaller size
    // anywhere was not overlooked.
    if (first.set.count(verdict::Verdict::tight) > 0) continue;
    for (const Tried& tried : all) {
      const bool same = tried.study.doors[0].actuator == first.set.study.doors[0].actuator;
      if (!same || !tried.pass) continue;
      const auto seen = verdict::examine(tried.study, 2, quiet);
      const bool holds = std::all_of(seen.worst.begin(), seen.worst.end(),
                                     [](const auto& row) { return row.verdict == verdict::Verdict::holds; });
      if (holds) CHECK(tried.copper > 0.8 * first.set.copper);
    }
  }
}
