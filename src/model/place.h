// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "model/study.h"

// Where a part may sit in a job, and how a checked study takes another part there without going through a
// file.
namespace latchwright::model {

enum class PlaceKind { feed_wire, main_fuse, relay, actuator, door_wire, door_fuse };

struct Place {
  PlaceKind kind{};
  std::size_t door = 0;  ///< of the last three kinds

  friend bool operator==(const Place&, const Place&) = default;
};

/// "/doors/2/wire".
std::string pointer_of(const Place& place);

/// Places that the job leaves open: feed wire, main fuse and relay first, then door by door actuator, wire,
/// fuse.
std::vector<Place> open_places(const Study& study);

/// What sits there; null where it is open or none is fitted.
const PartPtr& part_at(const Study& study, const Place& place);

/// Puts a part of the place's kind into a study, over what sits there, with what the part itself refers to
/// looked up in the study's catalogue. The result is what check_job makes of the changed job.
void fit(Study& study, const Place& place, const PartPtr& part);

/// The study of one of its doors, everything else as it is.
Study only_door(const Study& study, std::size_t door);

}  // namespace latchwright::model
