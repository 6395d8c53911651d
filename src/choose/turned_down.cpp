// SPDX-License-Identifier: GPL-3.0-or-later
#include "choose/turned_down.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "base/failure.h"
#include "base/worker_pool.h"
#include "choose/fuse_choice.h"
#include "choose/ranking.h"
#include "verdict/checks.h"

namespace latchwright::choose {

using model::Place;
using model::PlaceKind;
using verdict::CheckId;
using verdict::CheckRow;
using verdict::Verdict;

namespace {

std::string names_of(const model::Study& study, const std::vector<std::size_t>& doors) {
  std::vector<std::string> names;
  for (const std::size_t k : doors) names.push_back(study.job.doors[k].name);
  return fmt::format("{}", fmt::join(names, ", "));
}

TurnedDown turned_down(const model::PartPtr& part, std::string place, Reason reason, double have,
                       double need) {
  return {part, std::move(place), reason, std::nullopt, have, need};
}

TurnedDown sunk(const model::PartPtr& part, std::string place, const CheckRow& row) {
  TurnedDown entry{part, std::move(place), Reason::check, row, 0, 0};
  return entry;
}

class Explainer {
 public:
  Explainer(const Seen& seen, const Pick& first, unsigned workers)
      : seen_(seen), first_(first), findings_(first.set.study, quiet_), demand_(findings_, workers) {}

  /// Places that share one part of the first set, and the parts that could sit there.
  struct Question {
    std::vector<Place> places;
    std::string name;
    model::PartPtr part;
  };

  /// Actuators that cannot serve, or of which too many can for each to be tried; for the others a question
  /// each.
  std::vector<Question> ask_for_actuators(std::vector<TurnedDown>& out) const {
    constexpr std::size_t most_tried = 16;
    struct Serves {
      Question question;
      const Screened* candidate;
    };
    std::vector<Serves> serve;
    for (const DoorGroup& group : seen_.groups) {
      const auto& candidates = seen_.screened[static_cast<std::size_t>(&group - seen_.groups.data())];
      const std::string name = names_of(seen_.study, group.doors);
      std::vector<Place> places;
      for (const std::size_t door : group.doors) places.push_back({PlaceKind::actuator, door});
      const auto& fitted = model::part_at(first_.set.study, places.front());
      for (const Screened& candidate : candidates) {
        if (candidate.actuator == fitted) continue;
        if (candidate.sunk_by) {
          out.push_back(sunk(candidate.actuator, name, *candidate.sunk_by));
        } else {
          serve.push_back({{places, name, candidate.actuator}, &candidate});
        }
      }
    }
    std::stable_sort(serve.begin(), serve.end(), [](const Serves& a, const Serves& b) {
      return a.candidate->expected_margins > b.candidate->expected_margins;
    });
    std::vector<Question> questions;
    for (const Serves& one : serve) {
      if (questions.size() < most_tried) {
        questions.push_back(one.question);
      } else {
        const auto& margins = one.candidate->expected_margins;
        out.push_back(turned_down(one.question.part, one.question.name, Reason::not_judged,
                                  margins.empty() ? 0 : margins.front(), first_.set.margins.front()));
      }
    }
    return questions;
  }

  std::vector<Question> questions() {
    std::vector<Question> all;
    for (const PlaceKind kind : {PlaceKind::feed_wire, PlaceKind::main_fuse, PlaceKind::relay,
                                 PlaceKind::door_wire, PlaceKind::door_fuse}) {
      for (const auto& places : shared_places(kind)) {
        ask(kind, places, all);
        if (kind == PlaceKind::main_fuse || kind == PlaceKind::door_fuse) note_demand(places);
      }
    }
    return all;
  }

  TurnedDown answer(const Question& question) const {
    if (std::holds_alternative<model::Actuator>(question.part->body)) return answer_for_actuator(question);
    const model::PartPtr& fitted = model::part_at(first_.set.study, question.places.front());
    const model::PartPtr& part = question.part;
    const double own = size_of(part), serves = size_of(fitted);
    if (const auto* fuse = std::get_if<model::Fuse>(&part->body);
        fuse != nullptr && fuse->rated_V < seen_.study.job.supply.high_V) {
      return turned_down(part, question.name, Reason::voltage, fuse->rated_V, seen_.study.job.supply.high_V);
    }
    if (own > serves && first_.set.passes()) {
      return turned_down(part, question.name, Reason::larger, own, serves);
    }
    if (std::holds_alternative<model::Fuse>(part->body)) {
      const auto& [door, row_now] = demand_of_.at(model::pointer_of(question.places.front()));
      const CheckRow row = demand_.worst_row(part, door);
      if (row.verdict > row_now.verdict) return sunk(part, question.name, row);
    }
    model::Study changed = first_.set.study;
    for (const Place& place : question.places) model::fit(changed, place, part);
    // One check after the other, those without simulation first.
    for (const CheckId id : checks_moved_by(part)) {
      if (const auto row = broken_by(judge_set(changed, {}, {id}))) return sunk(part, question.name, *row);
    }
    if (const auto n = insulation_of(part); n && *n != seen_.insulation) {
      return turned_down(part, question.name, Reason::insulation,
                         static_cast<double>(seen_.candidates.wires[*n].size()),
                         static_cast<double>(seen_.candidates.wires[seen_.insulation].size()));
    }
    if (std::holds_alternative<model::Fuse>(part->body)) {
      const double slow = slowness_s(part, *seen_.study.catalogue);
      const double serving = slowness_s(fitted, *seen_.study.catalogue);
      if (slow > serving) return turned_down(part, question.name, Reason::slower, slow, serving);
    }
    if (own == serves) return turned_down(part, question.name, Reason::equal, own, serves);
    return turned_down(part, question.name, Reason::kinds, own, serves);
  }

 private:
  /// The actuator in the first set, everything else as it is there.
  TurnedDown answer_for_actuator(const Question& question) const {
    model::Study changed = first_.set.study;
    for (const Place& place : question.places) model::fit(changed, place, question.part);
    const Dressed set = judge_set(std::move(changed), {});
    const CheckRow& weakest = set.rows[set.weakest];
    if (weakest.verdict == Verdict::fails) return sunk(question.part, question.name, weakest);
    const auto& first = first_.set.margins;
    for (std::size_t n = 0; n < std::min(set.margins.size(), first.size()); ++n) {
      if (set.margins[n] >= first[n] * (1 - equal_margins)) continue;
      TurnedDown entry = turned_down(question.part, question.name, Reason::weaker, set.margins[n], first[n]);
      entry.rank = n;
      return entry;
    }
    return turned_down(question.part, question.name, Reason::equal, set.margins.front(), first.front());
  }

  /// Open places of a kind, those with the same part in the first set together.
  std::vector<std::vector<Place>> shared_places(PlaceKind kind) const {
    std::vector<std::vector<Place>> all;
    for (const Place& place : seen_.open) {
      if (place.kind != kind) continue;
      const auto& part = model::part_at(first_.set.study, place);
      const auto same = std::find_if(all.begin(), all.end(), [&](const auto& places) {
        return model::part_at(first_.set.study, places.front()) == part;
      });
      if (same == all.end()) {
        all.push_back({place});
      } else {
        same->push_back(place);
      }
    }
    return all;
  }

  void ask(PlaceKind kind, const std::vector<Place>& places, std::vector<Question>& all) const {
    std::vector<std::size_t> doors;
    for (const Place& place : places) doors.push_back(place.door);
    const std::string name = kind == PlaceKind::feed_wire   ? "feed"
                             : kind == PlaceKind::main_fuse ? "main fuse"
                             : kind == PlaceKind::relay     ? "relay"
                             : kind == PlaceKind::door_wire ? "door run, " + names_of(seen_.study, doors)
                                                            : "fuse, " + names_of(seen_.study, doors);
    const auto& fitted = model::part_at(first_.set.study, places.front());
    const auto add = [&](const Parts& parts) {
      for (const auto& part : parts) {
        if (part != fitted) all.push_back({places, name, part});
      }
    };
    if (kind == PlaceKind::relay) {
      add(seen_.candidates.relays);
    } else if (kind == PlaceKind::main_fuse || kind == PlaceKind::door_fuse) {
      add(seen_.candidates.fuses);
      add(seen_.candidates.unfit_fuses);
    } else {
      for (const Parts& wires : seen_.candidates.wires) add(wires);
    }
  }

  /// Of places that share a fuse: whose it bears worst.
  void note_demand(const std::vector<Place>& places) {
    std::optional<std::pair<std::optional<std::size_t>, CheckRow>> worst;
    for (const Place& place : places) {
      const auto door = place.kind == PlaceKind::door_fuse ? std::optional(place.door) : std::nullopt;
      CheckRow row = demand_.worst_row(model::part_at(first_.set.study, place), door);
      if (!worst || verdict::worse(row, worst->second)) worst.emplace(door, std::move(row));
    }
    demand_of_.emplace(model::pointer_of(places.front()), *worst);
  }

  /// What a smaller part of its kind may break.
  static std::vector<CheckId> checks_moved_by(const model::PartPtr& part) {
    if (std::holds_alternative<model::Relay>(part->body)) return {CheckId::relay};
    if (std::holds_alternative<model::Fuse>(part->body)) return {CheckId::fuse_clear, CheckId::fuse_guard};
    return {CheckId::fuse_guard, CheckId::fuse_clear, CheckId::wire_heat,
            CheckId::force,      CheckId::volt_drop,  CheckId::throw_time};
  }

  /// mm² or A.
  static double size_of(const model::PartPtr& part) {
    if (const auto* wire = std::get_if<model::Wire>(&part->body)) return wire->area * 1e6;
    if (const auto* fuse = std::get_if<model::Fuse>(&part->body)) return fuse->rating_A;
    return relay_of(part).rated_A;
  }

  std::optional<std::size_t> insulation_of(const model::PartPtr& part) const {
    for (std::size_t n = 0; n < seen_.candidates.wires.size(); ++n) {
      const Parts& wires = seen_.candidates.wires[n];
      if (std::find(wires.begin(), wires.end(), part) != wires.end()) return n;
    }
    return std::nullopt;
  }

  /// The worst row that does not hold and is worse than the first set's own.
  std::optional<CheckRow> broken_by(const Dressed& set) const {
    std::optional<CheckRow> worst;
    for (std::size_t n = 0; n < set.rows.size(); ++n) {
      const CheckRow& row = set.rows[n];
      const auto before = std::find_if(
          first_.set.rows.begin(), first_.set.rows.end(),
          [&](const CheckRow& r) { return r.id == row.id && r.door == row.door && r.part == row.part; });
      const bool sinks =
          row.verdict != Verdict::holds && before != first_.set.rows.end() &&
          (row.verdict > before->verdict || (row.verdict == before->verdict && row.margin && before->margin &&
                                             *row.margin < 0.98 * *before->margin));
      if (sinks && (!worst || verdict::worse(row, *worst))) worst = row;
    }
    return worst;
  }

  const Seen& seen_;
  const Pick& first_;
  base::NoProgress quiet_;
  verdict::Findings findings_;
  FuseDemand demand_;
  std::map<std::string, std::pair<std::optional<std::size_t>, CheckRow>>
      demand_of_;  // by the first place's pointer
};

}  // namespace

std::vector<TurnedDown> turn_down(const Seen& seen, const Pick& first, unsigned workers,
                                  base::Progress& progress) {
  Explainer explainer(seen, first, workers);
  std::vector<TurnedDown> result;
  auto questions = explainer.ask_for_actuators(result);
  const auto others = explainer.questions();
  questions.insert(questions.end(), others.begin(), others.end());
  const std::size_t before = result.size();
  result.resize(before + questions.size());
  base::for_each_index(questions.size(), workers, [&](std::size_t n) {
    if (progress.cancelled()) throw base::Cancelled();
    result[before + n] = explainer.answer(questions[n]);
    progress.report(static_cast<double>(n) / static_cast<double>(questions.size()), "saying why not");
  });
  return result;
}

}  // namespace latchwright::choose
