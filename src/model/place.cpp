// SPDX-License-Identifier: GPL-3.0-or-later
#include "model/place.h"

#include <algorithm>

#include "base/failure.h"

namespace latchwright::model {

namespace {

/// study: const or not, and so is what comes of it.
template <class S>
auto& slot(S& study, const Place& place) {
  switch (place.kind) {
    case PlaceKind::feed_wire:
      return study.feed.wire;
    case PlaceKind::main_fuse:
      return study.feed.fuse;
    case PlaceKind::relay:
      return study.feed.relay;
    case PlaceKind::actuator:
      return study.doors.at(place.door).actuator;
    case PlaceKind::door_wire:
      return study.doors.at(place.door).wire;
    case PlaceKind::door_fuse:
      return study.doors.at(place.door).fuse;
  }
  throw base::InternalError("a place of no kind");
}

/// The reference in the job that leads there.
void refer(Job& job, const Place& place, const std::string& id) {
  switch (place.kind) {
    case PlaceKind::feed_wire:
      job.feed.wire = id;
      return;
    case PlaceKind::main_fuse:
      job.feed.fuse = id;
      return;
    case PlaceKind::relay:
      job.feed.relay = id;
      return;
    case PlaceKind::actuator:
      job.doors[place.door].actuator = id;
      return;
    case PlaceKind::door_wire:
      job.doors[place.door].wire = id;
      return;
    case PlaceKind::door_fuse:
      job.doors[place.door].fuse = PartRef(id);
      return;
  }
}

}  // namespace

std::string pointer_of(const Place& place) {
  const std::string door = "/doors/" + std::to_string(place.door);
  switch (place.kind) {
    case PlaceKind::feed_wire:
      return "/feed/wire";
    case PlaceKind::main_fuse:
      return "/feed/fuse";
    case PlaceKind::relay:
      return "/feed/relay";
    case PlaceKind::actuator:
      return door + "/actuator";
    case PlaceKind::door_wire:
      return door + "/wire";
    case PlaceKind::door_fuse:
      return door + "/fuse";
  }
  throw base::InternalError("a place of no kind");
}

std::vector<Place> open_places(const Study& study) {
  std::vector<Place> places;
  for (const PlaceKind kind : {PlaceKind::feed_wire, PlaceKind::main_fuse, PlaceKind::relay}) {
    if (!part_at(study, {kind, 0})) places.push_back({kind, 0});
  }
  for (std::size_t k = 0; k < study.doors.size(); ++k) {
    if (!study.doors[k].actuator) places.push_back({PlaceKind::actuator, k});
    if (!study.doors[k].wire) places.push_back({PlaceKind::door_wire, k});
    // No key at all: none is fitted, which is a choice.
    if (!study.doors[k].fuse && study.job.doors[k].fuse) places.push_back({PlaceKind::door_fuse, k});
  }
  return places;
}

const PartPtr& part_at(const Study& study, const Place& place) { return slot(study, place); }

void fit(Study& study, const Place& place, const PartPtr& part) {
  base::require(part != nullptr, "no part to fit");
  slot(study, place) = part;
  refer(study.job, place, part->id);
  const auto family = [&] {
    PartPtr found = study.catalogue->find(std::get<Fuse>(part->body).family);
    base::require(found != nullptr, "a fuse of the catalogue has its family");
    return found;
  };
  if (place.kind == PlaceKind::actuator) {
    study.doors[place.door].curve = curve_of(std::get<Actuator>(part->body), *study.catalogue);
  } else if (place.kind == PlaceKind::main_fuse) {
    study.feed.fuse_family = family();
  } else if (place.kind == PlaceKind::door_fuse) {
    study.doors[place.door].fuse_family = family();
  }
  std::erase_if(study.not_chosen,
                [pointer = pointer_of(place)](const NotChosen& open) { return open.pointer == pointer; });
}

Study only_door(const Study& study, std::size_t door) {
  Study one = study;
  one.job.doors = {study.job.doors.at(door)};
  one.doors = {study.doors.at(door)};
  std::erase_if(one.not_chosen, [&](const NotChosen& open) { return open.pointer.starts_with("/doors/"); });
  for (const Place& place : open_places(one)) {
    if (place.kind >= PlaceKind::actuator) one.not_chosen.push_back({pointer_of(place), ""});
  }
  return one;
}

}  // namespace latchwright::model
