// SPDX-License-Identifier: GPL-3.0-or-later
#include "choose/size.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <set>

#include "base/failure.h"
#include "base/worker_pool.h"
#include "choose/assignments.h"
#include "choose/nearest.h"
#include "choose/ranking.h"
#include "choose/screen.h"
#include "choose/turned_down.h"

namespace latchwright::choose {

using model::Place;
using model::PlaceKind;
using verdict::Verdict;

namespace {

constexpr std::size_t batch = 4;                 // sets judged at a time, whatever the number of workers
constexpr std::size_t most_judged = 24;          // sets in all
constexpr std::size_t most_judged_in_need = 60;  // where none passes
constexpr std::size_t most_insulations = 8;

Pick make_pick(Dressed set, const std::vector<Place>& open) {
  Pick pick;
  std::set<std::string> kinds;
  double price = 0;
  bool priced = !open.empty();
  for (const Place& place : open) {
    const model::PartPtr& part = model::part_at(set.study, place);
    kinds.insert(part->id);
    priced = priced && part->price.has_value();
    price += part->price.value_or(0);
  }
  pick.kinds = kinds.size();
  if (priced) pick.price = price;
  pick.set = std::move(set);
  return pick;
}

void require_parts(const model::Study& study, const std::vector<Place>& open, const Candidates& candidates) {
  const auto wants = [&](PlaceKind kind) {
    return std::any_of(open.begin(), open.end(), [&](const Place& p) { return p.kind == kind; });
  };
  const auto none = [](std::string_view what) {
    throw base::UsageError(fmt::format("the catalogue has no {} to choose from", what));
  };
  if (wants(PlaceKind::actuator) && candidates.actuators.empty()) none("actuator");
  if ((wants(PlaceKind::feed_wire) || wants(PlaceKind::door_wire)) && candidates.wires.empty()) none("wire");
  if ((wants(PlaceKind::main_fuse) || wants(PlaceKind::door_fuse)) && candidates.fuses.empty()) {
    none(fmt::format("fuse for {} V", study.job.supply.high_V));
  }
  if (wants(PlaceKind::relay) && candidates.relays.empty()) none("relay");
}

/// The insulation that the open wires take: what leaves the least to fail, then that of the job's own wires,
/// then what leaves the least tight, the lower price, and what comes in the most sizes.
std::size_t best_insulation(const model::Study& study, const std::vector<Pick>& tried,
                            const Candidates& candidates) {
  std::set<std::string> fixed;
  if (study.feed.wire) fixed.insert(study.feed.wire->id);
  for (const auto& door : study.doors) {
    if (door.wire) fixed.insert(door.wire->id);
  }
  const auto rank = [&](std::size_t n) {
    const Pick& pick = tried[n];
    const bool own = std::any_of(candidates.wires[n].begin(), candidates.wires[n].end(),
                                 [&](const auto& wire) { return fixed.contains(wire->id); });
    return std::tuple(pick.set.count(Verdict::fails), own ? 0 : 1, pick.set.count(Verdict::tight));
  };
  std::size_t best = 0;
  for (std::size_t n = 1; n < tried.size(); ++n) {
    const auto a = rank(n), b = rank(best);
    const bool priced = tried[n].price && tried[best].price;
    if (a != b ? a < b : priced && *tried[n].price < *tried[best].price) best = n;
  }
  return best;
}

class Search {
 public:
  Search(const model::Study& study, unsigned workers, base::Progress& progress)
      : study_(study),
        workers_(workers),
        progress_(progress),
        candidates_(candidates_of(study)),
        open_(model::open_places(study)),
        groups_(open_door_groups(study)) {
    require_parts(study_, open_, candidates_);
  }

  /// only_picks: what nothing passes for is not explained.
  SizeResult run(bool only_picks = false) {
    for (const DoorGroup& group : groups_) {
      screened_.push_back(screen(study_, group, candidates_, workers_, progress_));
    }
    const Assignments assignments(screened_);
    choose_insulation(assignments.at(0));
    judge_assignments(assignments);
    SizeResult result;
    result.open = open_;
    result.actuators_looked_at = groups_.empty() ? 0 : candidates_.actuators.size();
    result.sets_judged = judged_.size();
    sort_judged();
    for (const Judged& judged : judged_) {
      if (judged.pick.set.passes() && result.picks.size() < most_picks) result.picks.push_back(judged.pick);
    }
    if (only_picks && result.picks.empty()) return result;
    const Pick& first = judged_.front().pick;
    result.turned_down =
        turn_down({study_, candidates_, open_, groups_, screened_, insulation_}, first, workers_, progress_);
    if (result.picks.empty()) result.nearest = nearest_miss(first, study_, workers_, progress_);
    return result;
  }

 private:
  model::Study with_actuators(const Assignment& assignment) const {
    model::Study study = study_;
    for (std::size_t g = 0; g < groups_.size(); ++g) {
      const model::PartPtr& actuator = screened_[g][assignment.choice[g]].actuator;
      for (const std::size_t door : groups_[g].doors)
        model::fit(study, {PlaceKind::actuator, door}, actuator);
    }
    return study;
  }

  bool chooses_wires() const {
    return std::any_of(open_.begin(), open_.end(), [](const Place& p) {
      return p.kind == PlaceKind::feed_wire || p.kind == PlaceKind::door_wire;
    });
  }

  /// Dresses the most promising actuators with every insulation; the best serves all other sets too.
  void choose_insulation(const Assignment& first) {
    const std::size_t count = chooses_wires() ? std::min(candidates_.wires.size(), most_insulations) : 1;
    insulations_.resize(count);
    const model::Study dressed = dress(with_actuators(first), open_, candidates_, wires(0), workers_);
    const std::vector<verdict::CheckId> wire_checks{
        verdict::CheckId::force,     verdict::CheckId::throw_time, verdict::CheckId::volt_drop,
        verdict::CheckId::wire_heat, verdict::CheckId::fuse_clear, verdict::CheckId::fuse_guard};
    // Where the first one's set fails, fuses may have to be others with the next.
    const bool serves = make_pick(judge_set(dressed, open_, wire_checks), open_).set.passes();
    base::for_each_index(count, workers_, [&](std::size_t n) {
      if (progress_.cancelled()) throw base::Cancelled();
      const model::Study study = n == 0   ? dressed
                                 : serves ? dress_again(dressed, open_, wires(n))
                                          : dress(with_actuators(first), open_, candidates_, wires(n));
      insulations_[n] = make_pick(judge_set(study, open_, wire_checks), open_);
      progress_.report(0.0, "choosing wires");
    });
    insulation_ = best_insulation(study_, insulations_, candidates_);
    const model::Study best =
        insulation_ == 0 ? dressed
                         : dress(with_actuators(first), open_, candidates_, wires(insulation_), workers_);
    judged_.push_back({first, make_pick(judge_set(best, open_, {}, false, workers_), open_)});
  }

  const Parts& wires(std::size_t n) const {
    static const Parts none;
    return candidates_.wires.empty() ? none : candidates_.wires[n];
  }

  void judge_assignments(const Assignments& assignments) {
    std::vector<Assignment> list;
    for (std::size_t n = 1; n < assignments.size(); ++n) list.push_back(assignments.at(n));
    judge(list, most_judged);
    // From the best on, one group changed after the other, as long as that finds a better one.
    std::optional<Assignment> centre;
    while (true) {
      sort_judged();
      const Judged& best = judged_.front();
      const std::size_t most = best.pick.set.passes() ? most_judged : most_judged_in_need;
      if (judged_.size() >= most || (centre && centre->choice == best.assignment.choice)) return;
      centre = best.assignment;
      judge(assignments.around(*centre), most);
    }
  }

  void sort_judged() {
    std::stable_sort(judged_.begin(), judged_.end(),
                     [&](const Judged& a, const Judged& b) { return better(a.pick, b.pick, open_); });
  }

  /// Judges those of a list that are new and may be better than what is known, a batch at a time.
  void judge(const std::vector<Assignment>& list, std::size_t most) {
    for (std::size_t next = 0; next < list.size() && judged_.size() < most;) {
      std::vector<Assignment> chosen;
      for (; next < list.size() && chosen.size() < std::min(batch, most - judged_.size()); ++next) {
        const bool known = std::any_of(judged_.begin(), judged_.end(), [&](const Judged& judged) {
          return judged.assignment.choice == list[next].choice;
        });
        if (!known && may_enter(list[next])) chosen.push_back(list[next]);
      }
      // Where one set passes, how badly others fail is of no interest.
      const bool one_passes = std::any_of(judged_.begin(), judged_.end(),
                                          [](const Judged& judged) { return judged.pick.set.passes(); });
      std::vector<Pick> found(chosen.size());
      base::for_each_index(chosen.size(), workers_, [&](std::size_t n) {
        if (progress_.cancelled()) throw base::Cancelled();
        const model::Study study = dress(with_actuators(chosen[n]), open_, candidates_, wires(insulation_));
        const unsigned inside = chosen.size() == 1 ? workers_ : 1;
        found[n] = make_pick(judge_set(study, open_, {}, one_passes, inside), open_);
        progress_.report(std::min(1.0, static_cast<double>(judged_.size() + n) / static_cast<double>(most)),
                         "judging sets");
      });
      for (std::size_t n = 0; n < chosen.size(); ++n) judged_.push_back({chosen[n], std::move(found[n])});
    }
  }

  /// Whether a set of these actuators may be better than the last of the list.
  bool may_enter(const Assignment& assignment) const {
    std::vector<double> weakest;
    for (const Judged& judged : judged_) {
      if (judged.pick.set.passes()) weakest.push_back(judged.pick.set.margins.front());
    }
    if (assignment.sunk) return weakest.empty();
    if (weakest.size() < most_picks) return true;
    std::nth_element(weakest.begin(), weakest.begin() + (most_picks - 1), weakest.end(), std::greater<>());
    return assignment.best.empty() || assignment.best.front() > weakest[most_picks - 1] * (1 - equal_margins);
  }

  const model::Study& study_;
  unsigned workers_;
  base::Progress& progress_;
  Candidates candidates_;
  std::vector<Place> open_;
  std::vector<DoorGroup> groups_;
  std::vector<std::vector<Screened>> screened_;
  std::vector<Judged> judged_;
  std::vector<Pick> insulations_;
  std::size_t insulation_ = 0;
};

/// Where throws do not end within the pulse, fuses and wires chosen for that pulse suit no other one: the
/// nearest miss is then the set of the shortest of some longer pulses with which one passes.
/// Its reasons are then the others' too.
void miss_by_pulse(const model::Study& study, unsigned workers, base::Progress& progress,
                   SizeResult& result) {
  const auto& rows = result.nearest->pick.set.rows;
  const bool too_short = std::any_of(rows.begin(), rows.end(), [](const verdict::CheckRow& row) {
    return row.id == verdict::CheckId::throw_time && row.verdict == Verdict::fails;
  });
  if (!too_short || result.nearest->job_change) return;
  constexpr double longest_pulse = 10;  // s, what a job may hold
  for (const double longer : {1.5, 2.0, 3.0, 5.0, 8.0}) {
    model::Study changed = study;
    changed.job.pulse.on_s = std::round(100 * longer * study.job.pulse.on_s) / 100;
    if (changed.job.pulse.on_s > longest_pulse) return;
    SizeResult then = Search(changed, workers, progress).run(true);
    if (then.picks.empty()) continue;
    model::Study filled = then.picks.front().set.study;
    filled.job.pulse = study.job.pulse;
    result.nearest = nearest_miss(make_pick(judge_set(std::move(filled), result.open), result.open), study,
                                  workers, progress);
    result.turned_down = std::move(then.turned_down);
    result.reasons_on_s = changed.job.pulse.on_s;
    return;
  }
}

}  // namespace

SizeResult size(const model::Study& study, unsigned workers, base::Progress& progress) {
  // Working copies are many, and all parts stand in the catalogue.
  model::Study light = study;
  light.job.parts.clear();
  SizeResult result = Search(light, workers, progress).run();
  if (result.nearest) miss_by_pulse(light, workers, progress, result);
  for (Pick& pick : result.picks) pick.set.study.job.parts = study.job.parts;
  if (result.nearest) result.nearest->pick.set.study.job.parts = study.job.parts;
  return result;
}

}  // namespace latchwright::choose
