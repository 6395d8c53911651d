// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>

#include "model/catalogue.h"
#include "model/job.h"

namespace latchwright::model {

/// A reference of the job that is still open: a state of the job, not a fault of the file.
struct NotChosen {
  std::string pointer;
  std::string what;
};

struct FeedParts {
  PartPtr wire, fuse, fuse_family, relay;
};

struct DoorParts {
  PartPtr actuator, wire, fuse, fuse_family;  ///< fuse null: none fitted (or not chosen)
  PtcCurve curve;
};

/// A checked job with its parts looked up: the only thing that is ever simulated.
struct Study {
  Job job;
  std::shared_ptr<const Catalogue> catalogue;  ///< the built-in and user parts and the job's own
  FeedParts feed;
  std::vector<DoorParts> doors;
  std::vector<NotChosen> not_chosen;

  bool complete() const { return not_chosen.empty(); }
  const Actuator& actuator(std::size_t door) const { return std::get<Actuator>(doors[door].actuator->body); }
  const Wire& feed_wire() const { return std::get<Wire>(feed.wire->body); }
  const Wire& door_wire(std::size_t door) const { return std::get<Wire>(doors[door].wire->body); }
  const Relay& relay() const { return std::get<Relay>(feed.relay->body); }
};

/// Raw job file to a checked study, or every fault of it with its place.
base::Checked<Study> check_job(const Raw& raw, const std::string& file, const Catalogue& parts);

/// A job record (from a form, or changed by the program) to a checked study, by the same rules.
base::Checked<Study> check_job(const Job& job, const std::string& file, const Catalogue& parts);

/// The job as a file holds it.
Raw write_job(const Job& job);

}  // namespace latchwright::model
