// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/lockout.h"

#include <algorithm>
#include <vector>

#include "base/failure.h"

namespace latchwright::sim {

namespace {

model::Door without_name(model::Door door) {
  door.name.clear();
  return door;
}

/// Doors that behave the same alone.
std::vector<std::vector<std::size_t>> equal_doors(const std::vector<model::Door>& doors) {
  std::vector<std::vector<std::size_t>> groups;
  for (std::size_t k = 0; k < doors.size(); ++k) {
    const auto same = std::find_if(groups.begin(), groups.end(), [&](const auto& group) {
      return without_name(doors[group.front()]) == without_name(doors[k]);
    });
    if (same == groups.end()) {
      groups.push_back({k});
    } else {
      same->push_back(k);
    }
  }
  return groups;
}

}  // namespace

WorstCount count_worst(const model::Study& study, const Condition& at, CyclePlan plan,
                       const base::Progress& progress) {
  WorstCount found;
  const Counted together = count_until_missed(make_circuit(study, at), plan);
  found.cycles_done = together.cycles;
  if (!together.doors.empty()) found.stops_first = together.doors.front();
  if (study.doors.size() == 1) return found;
  for (const auto& group : equal_doors(study.job.doors)) {
    if (progress.cancelled()) throw base::Cancelled();
    const int alone = count_cycles(make_circuit(study, at, {group.front()}), plan);
    if (alone < found.cycles_done) {
      found.cycles_done = alone;
      found.alone = found.stops_first = group.front();
    }
    // Only a smaller count would matter.
    plan.cycles = found.cycles_done;
    if (plan.cycles == 0) break;
  }
  return found;
}

}  // namespace latchwright::sim
