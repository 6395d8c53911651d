// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "model/place.h"

// What the catalogue offers, in the order in which it is tried: small before large.
namespace latchwright::choose {

using Parts = std::vector<model::PartPtr>;

struct Candidates {
  Parts actuators;           ///< by id
  std::vector<Parts> wires;  ///< one list an insulation (class, short-time limit, conductivity), by area; the
                             ///< insulation that comes in most sizes first
  Parts fuses;               ///< quicker families first, then by rating; made for the job's high voltage
  Parts unfit_fuses;         ///< made for less voltage than the job has
  Parts relays;              ///< by rated current
};

Candidates candidates_of(const model::Study& study);

/// Doors whose actuator is open and whose locks ask for the same: stroke and rod forces. They get the same
/// actuator.
struct DoorGroup {
  std::vector<std::size_t> doors;
  std::size_t farthest = 0;  ///< the one with the most resistance in its run's length and joints
};
std::vector<DoorGroup> open_door_groups(const model::Study& study);

/// s, the longest that the standard lets a fuse take at twice its rating: how slow its family is.
double slowness_s(const model::PartPtr& fuse, const model::Catalogue& catalogue);

inline const model::Wire& wire_of(const model::PartPtr& part) { return std::get<model::Wire>(part->body); }
inline const model::Fuse& fuse_of(const model::PartPtr& part) { return std::get<model::Fuse>(part->body); }
inline const model::Relay& relay_of(const model::PartPtr& part) { return std::get<model::Relay>(part->body); }
inline const model::Actuator& actuator_of(const model::PartPtr& part) {
  return std::get<model::Actuator>(part->body);
}

}  // namespace latchwright::choose
