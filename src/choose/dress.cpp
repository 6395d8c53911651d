// SPDX-License-Identifier: GPL-3.0-or-later
#include "choose/dress.h"

#include <algorithm>
#include <numeric>

#include "base/failure.h"
#include "choose/fuse_choice.h"
#include "choose/wire_choice.h"
#include "verdict/checks.h"
#include "verdict/fuse_subjects.h"

namespace latchwright::choose {

using model::Place;
using model::PlaceKind;
using verdict::CheckId;
using verdict::CheckRow;
using verdict::Findings;
using verdict::Rows;
using verdict::Verdict;

namespace {

std::vector<std::string> ids_at(const model::Study& study, const std::vector<Place>& places) {
  std::vector<std::string> ids;
  for (const Place& place : places) ids.push_back(model::part_at(study, place)->id);
  return ids;
}

/// Fuses near what they will be, for wires to begin with: rated for the stall current of what they feed.
void guess_fuses(model::Study& study, const std::vector<Place>& places, const Candidates& candidates) {
  base::NoProgress quiet;
  const model::Study now = study;
  const Findings findings(now, quiet, verdict::Detail::brief);
  const auto& stall = findings.stall_currents(verdict::usual_level, verdict::usual_level);
  for (const Place& place : places) {
    const bool main = place.kind == PlaceKind::main_fuse;
    if (!main && place.kind != PlaceKind::door_fuse) continue;
    const double amps =
        main ? std::accumulate(stall.begin(), stall.end(), now.job.feed.other_load_A) : stall[place.door];
    const auto fuse =
        std::find_if(candidates.fuses.begin(), candidates.fuses.end(),
                     [&](const model::PartPtr& part) { return fuse_of(part).rating_A >= amps; });
    model::fit(study, place, fuse == candidates.fuses.end() ? candidates.fuses.back() : *fuse);
  }
}

/// Fuses, relay and wires, gone through until nothing changes.
model::Study settle(model::Study study, const std::vector<Place>& places, const Candidates& candidates,
                    const Parts& wires, unsigned workers, const std::vector<Place>& spare) {
  // Wires that carry the current leave more of it to the fuses, and those ask more of the wires: seldom
  // twice.
  constexpr int most_rounds = 4;
  for (int round = 0; round < most_rounds; ++round) {
    choose_wires(study, places, wires);
    const auto before = ids_at(study, places);
    choose_fuses_and_relay(study, places, candidates, workers, spare);
    if (ids_at(study, places) == before) break;
  }
  return study;
}

/// Open places whose fuse leaves a wire unprotected or a short circuit standing.
std::vector<Place> unprotecting(const model::Study& study, const std::vector<Place>& places) {
  base::NoProgress quiet;
  const Findings findings(study, quiet, verdict::Detail::brief);
  const auto fuses = verdict::fuses_of(study);
  const auto wires = verdict::wires_of(findings, fuses);
  std::vector<bool> fails(fuses.size(), false);
  for (const CheckRow& row : verdict::evaluate(CheckId::fuse_guard, findings)) {
    for (const auto& wire : wires) {
      if (wire.door == row.door && row.verdict == Verdict::fails) fails[wire.fuse] = true;
    }
  }
  for (const CheckRow& row : verdict::evaluate(CheckId::fuse_clear, findings)) {
    for (std::size_t n = 0; n < fuses.size(); ++n) {
      if (fuses[n].name == row.part && row.verdict == Verdict::fails) fails[n] = true;
    }
  }
  std::vector<Place> found;
  for (std::size_t n = 0; n < fuses.size(); ++n) {
    const Place place =
        fuses[n].door ? Place{PlaceKind::door_fuse, *fuses[n].door} : Place{PlaceKind::main_fuse, 0};
    if (fails[n] && std::find(places.begin(), places.end(), place) != places.end()) found.push_back(place);
  }
  return found;
}

}  // namespace

std::size_t Dressed::count(Verdict verdict) const {
  return static_cast<std::size_t>(
      std::count_if(rows.begin(), rows.end(), [&](const CheckRow& row) { return row.verdict == verdict; }));
}

Dressed judge_set(model::Study study, const std::vector<Place>& open, const std::vector<CheckId>& checks,
                  bool stop_at_fail, unsigned workers) {
  Dressed set;
  set.study = std::move(study);
  base::NoProgress quiet;
  Findings findings(set.study, quiet);
  if (workers > 1 && checks.empty()) findings.prepare(workers);
  Rows all;
  for (const auto& check : verdict::check_infos()) {
    if (!checks.empty() && std::find(checks.begin(), checks.end(), check.id) == checks.end()) continue;
    const Rows rows = verdict::evaluate(check.id, findings);
    all.insert(all.end(), rows.begin(), rows.end());
    const bool fails =
        std::any_of(rows.begin(), rows.end(), [](const CheckRow& r) { return r.verdict == Verdict::fails; });
    if (stop_at_fail && fails) break;
  }
  set.rows = verdict::worst_rows(all);
  set.weakest = static_cast<std::size_t>(std::min_element(set.rows.begin(), set.rows.end(), verdict::worse) -
                                         set.rows.begin());
  for (const CheckRow& row : set.rows) {
    if (row.margin) set.margins.push_back(*row.margin);
  }
  std::sort(set.margins.begin(), set.margins.end());
  for (const Place& place : open) {
    if (is_wire(place)) {
      set.copper += conductor_length(set.study, place) * wire_of(model::part_at(set.study, place)).area;
    }
  }
  return set;
}

model::Study dress(model::Study study, const std::vector<Place>& open, const Candidates& candidates,
                   const Parts& wires, unsigned workers) {
  std::vector<Place> places;
  for (const Place& place : open) {
    if (place.kind == PlaceKind::actuator) continue;
    places.push_back(place);
    // A start: thin wires; fuses and relay of the middle, whose resistance matters little.
    const Parts& list = is_wire(place)                   ? wires
                        : place.kind == PlaceKind::relay ? candidates.relays
                                                         : candidates.fuses;
    model::fit(study, place, is_wire(place) ? list.front() : list[list.size() / 2]);
  }
  base::require(study.complete(), "a set is dressed when its actuators sit");
  if (places.empty()) return study;
  guess_fuses(study, places, candidates);
  model::Study dressed = settle(study, places, candidates, wires, workers, {});
  // Where the fuse that bears its load well protects no wire on offer, a smaller one that just bears it may.
  const auto spare = unprotecting(dressed, places);
  if (spare.empty()) return dressed;
  model::Study tighter = settle(std::move(study), places, candidates, wires, workers, spare);
  return unprotecting(tighter, places).size() < spare.size() ? tighter : dressed;
}

model::Study dress_again(model::Study study, const std::vector<Place>& open, const Parts& wires) {
  for (const Place& place : open) {
    if (is_wire(place)) model::fit(study, place, wires.front());
  }
  grow_wires(study, open, wires);
  return study;
}

}  // namespace latchwright::choose
