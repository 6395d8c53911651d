// SPDX-License-Identifier: GPL-3.0-or-later
#include "choose/screen.h"

#include <algorithm>
#include <atomic>

#include "base/failure.h"
#include "base/worker_pool.h"
#include "verdict/checks.h"

namespace latchwright::choose {

using verdict::CheckId;
using verdict::CheckRow;
using verdict::Findings;
using verdict::Verdict;

namespace {

/// The door alone, everything open but the actuator taken by the largest parts on offer, or by the thinnest
/// wires.
model::Study lone_door(const model::Study& study, std::size_t door, const Candidates& candidates,
                       bool thick) {
  using model::PlaceKind;
  model::PartPtr wire;
  for (const Parts& wires : candidates.wires) {
    const model::PartPtr& end = thick ? wires.back() : wires.front();
    const double area = wire_of(end).area;
    if (!wire || (thick ? area > wire_of(wire).area : area < wire_of(wire).area)) wire = end;
  }
  model::Study one = model::only_door(study, door);
  for (const model::Place& place : model::open_places(one)) {
    if (place.kind == PlaceKind::actuator) continue;
    const bool is_wire = place.kind == PlaceKind::feed_wire || place.kind == PlaceKind::door_wire;
    const Parts& list = place.kind == PlaceKind::relay ? candidates.relays : candidates.fuses;
    model::fit(one, place, is_wire ? wire : list.back());
  }
  return one;
}

CheckRow worst_of(const verdict::Rows& rows) {
  return *std::min_element(rows.begin(), rows.end(), verdict::worse);
}

class Look {
 public:
  Look(const model::Study& thick, const model::Study& thin, const model::PartPtr& actuator)
      : thick_(thick), thin_(thin) {
    for (model::Study* study : {&thick_, &thin_}) {
      model::fit(*study, {model::PlaceKind::actuator, 0}, actuator);
    }
  }

  Screened run(const model::PartPtr& actuator) {
    Screened result;
    result.actuator = actuator;
    const Findings brief(thick_, quiet_, verdict::Detail::brief);
    for (const CheckId id : {CheckId::stroke, CheckId::force, CheckId::throw_time}) {
      CheckRow row = worst_of(verdict::evaluate(id, brief));
      if (row.margin) result.best_margins.push_back(*row.margin);
      if (row.verdict != Verdict::fails) continue;
      if (id == CheckId::throw_time) row = worst_of(verdict::evaluate(id, Findings(thick_, quiet_)));
      result.sunk_by = row;
      return result;
    }
    for (const CheckId id : {CheckId::ptc_rating, CheckId::winding_fault}) {
      const CheckRow row = worst_of(verdict::evaluate(id, brief));
      if (row.margin) result.expected_margins.push_back(*row.margin);
      if (row.verdict == Verdict::fails && fails(thin_, id)) {
        result.sunk_by = row;
        return result;
      }
    }
    if (locks_out(brief)) {
      const Findings thin(thin_, quiet_, verdict::Detail::brief);
      if (locks_out(thin)) result.sunk_by = worst_of(verdict::evaluate(CheckId::lockout, brief));
    }
    result.stall_A = brief.stall_currents(verdict::levels - 1, 0)[0];
    if (!result.sunk_by) {
      constexpr int most_times = 4;
      const double cycles = brief.solve_lockout(verdict::hot_level, true, most_times, 1).cycles_done;
      result.expected_margins.push_back(cycles / brief.wanted_cycles(verdict::hot_level));
    }
    auto& expected = result.expected_margins;
    expected.insert(expected.end(), result.best_margins.begin(), result.best_margins.end());
    std::sort(expected.begin(), expected.end());
    std::sort(result.best_margins.begin(), result.best_margins.end());
    return result;
  }

 private:
  bool fails(const model::Study& study, CheckId id) {
    const Findings findings(study, quiet_, verdict::Detail::brief);
    return worst_of(verdict::evaluate(id, findings)).verdict == Verdict::fails;
  }

  static bool locks_out(const Findings& findings) {
    // Where it is most likely first: hot and charging.
    for (std::size_t a = verdict::levels; a-- > 0;) {
      for (const bool charging : {true, false}) {
        if (findings.solve_lockout(a, charging, 1, 1).cycles_done < findings.wanted_cycles(a)) return true;
      }
    }
    return false;
  }

  base::NoProgress quiet_;
  model::Study thick_, thin_;
};

}  // namespace

std::vector<Screened> screen(const model::Study& study, const DoorGroup& group, const Candidates& candidates,
                             unsigned workers, base::Progress& progress) {
  const model::Study thick = lone_door(study, group.farthest, candidates, true);
  const model::Study thin = lone_door(study, group.farthest, candidates, false);
  std::vector<Screened> result(candidates.actuators.size());
  std::atomic<std::size_t> done{0};
  base::for_each_index(result.size(), workers, [&](std::size_t k) {
    if (progress.cancelled()) throw base::Cancelled();
    const model::PartPtr& actuator = candidates.actuators[k];
    result[k] = Look(thick, thin, actuator).run(actuator);
    if (result[k].sunk_by && result[k].sunk_by->door) result[k].sunk_by->door = group.farthest;
    progress.report(static_cast<double>(++done) / static_cast<double>(result.size()), "looking at actuators");
  });
  return result;
}

}  // namespace latchwright::choose
