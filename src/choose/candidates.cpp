// SPDX-License-Identifier: GPL-3.0-or-later
#include "choose/candidates.h"

#include <algorithm>
#include <limits>
#include <map>
#include <tuple>

#include "physics/fuse_bounds.h"

namespace latchwright::choose {

namespace {

/// Of two equal things the cheaper one first; what has no price comes after what has one.
double price_of(const model::PartPtr& part) {
  return part->price.value_or(std::numeric_limits<double>::max());
}

template <class Key>
void sort_by(Parts& parts, Key key) {
  std::sort(parts.begin(), parts.end(), [&](const auto& a, const auto& b) {
    const auto ka = key(a), kb = key(b);
    return ka != kb ? ka < kb : std::tuple(price_of(a), a->id) < std::tuple(price_of(b), b->id);
  });
}

}  // namespace

Candidates candidates_of(const model::Study& study) {
  const model::Catalogue& catalogue = *study.catalogue;
  Candidates found;
  found.actuators = catalogue.parts_of<model::Actuator>();

  std::map<std::tuple<double, double, double>, Parts> insulations;
  for (const auto& part : catalogue.parts_of<model::Wire>()) {
    const model::Wire& wire = wire_of(part);
    insulations[{wire.class_C, wire.short_time_C, wire.insulation_W_per_mK}].push_back(part);
  }
  for (auto& [insulation, wires] : insulations) {
    sort_by(wires, [](const model::PartPtr& p) { return std::pair(wire_of(p).area, -wire_of(p).ohm_per_m); });
    found.wires.push_back(std::move(wires));
  }
  std::stable_sort(found.wires.begin(), found.wires.end(),
                   [](const Parts& a, const Parts& b) { return a.size() > b.size(); });

  for (const auto& part : catalogue.parts_of<model::Fuse>()) {
    (fuse_of(part).rated_V < study.job.supply.high_V ? found.unfit_fuses : found.fuses).push_back(part);
  }
  sort_by(found.fuses,
          [&](const model::PartPtr& p) { return std::pair(slowness_s(p, catalogue), fuse_of(p).rating_A); });
  found.relays = catalogue.parts_of<model::Relay>();
  sort_by(found.relays, [](const model::PartPtr& p) { return relay_of(p).rated_A; });
  return found;
}

double slowness_s(const model::PartPtr& fuse, const model::Catalogue& catalogue) {
  const auto& family = std::get<model::FuseFamily>(catalogue.find(fuse_of(fuse).family)->body);
  return physics::FuseBounds(fuse_of(fuse), family).slowest_time(2 * fuse_of(fuse).rating_A);
}

std::vector<DoorGroup> open_door_groups(const model::Study& study) {
  const auto& doors = study.job.doors;
  std::vector<DoorGroup> groups;
  for (std::size_t k = 0; k < doors.size(); ++k) {
    if (study.doors[k].actuator) continue;
    const auto same = std::find_if(groups.begin(), groups.end(), [&](const DoorGroup& group) {
      const model::Door& other = doors[group.doors.front()];
      return other.stroke == doors[k].stroke && other.rod_force == doors[k].rod_force &&
             other.rod_force_unlock == doors[k].rod_force_unlock;
    });
    if (same == groups.end()) {
      groups.push_back({{k}, k});
      continue;
    }
    same->doors.push_back(k);
    const auto far = [&](std::size_t d) { return std::pair(doors[d].branch_length, doors[d].joints_ohm); };
    if (far(k) > far(same->farthest)) same->farthest = k;
  }
  return groups;
}

}  // namespace latchwright::choose
