// SPDX-License-Identifier: GPL-3.0-or-later
#include "spread/uncertain.h"

#include <algorithm>
#include <utility>

#include "base/failure.h"
#include "model/tolerance.h"
#include "spread/usual_scatter.h"

namespace latchwright::spread {

namespace {

using model::PartPtr;

/// A part without what only people read: copied for every sample.
PartPtr bare(const PartPtr& part) {
  auto copy = std::make_shared<model::Part>();
  copy->id = part->id;
  copy->body = part->body;
  return copy;
}

/// A part of one kind with its body changed.
template <class Body, class Change>
void change_part(PartPtr& part, const Change& change) {
  auto copy = std::make_shared<model::Part>(*part);
  change(std::get<Body>(copy->body));
  part = std::move(copy);
}

/// What is not there, or is nothing, stays so.
std::vector<model::PartTolerance> scatter_of(const model::Actuator& actuator) {
  auto found = model::every_tolerance(actuator);
  std::erase_if(found, [&](const model::PartTolerance& one) {
    return model::figure_at(actuator, one.pointer).value_or(0) == 0;
  });
  return found;
}

bool pushes(const model::RodForce& force) {
  return force.peak != 0 || force.friction != 0 ||
         std::any_of(force.force.begin(), force.force.end(), [](double newton) { return newton != 0; });
}

void scale(model::RodForce& force, double factor) {
  force.peak *= factor;
  force.friction *= factor;
  for (double& newton : force.force) newton *= factor;
}

Uncertain relative(const std::string& key, const std::string& name, double half_width,
                   const std::string& origin) {
  return {key, name, "%", 100 * half_width, origin, {}};
}

}  // namespace

UncertainStudy::UncertainStudy(const model::Study& study) : study_(study) {
  base::require(study_.complete(), "an unfinished job has no spread");
  study_.job.parts.clear();
  study_.job.notes.clear();
  for (PartPtr* part : {&study_.feed.wire, &study_.feed.fuse, &study_.feed.relay}) *part = bare(*part);
  for (auto& door : study_.doors) {
    door.actuator = bare(door.actuator);
    door.wire = bare(door.wire);
    if (door.fuse) door.fuse = bare(door.fuse);
  }
  add_actuators();
  add_circuit();
  add_job();
}

void UncertainStudy::add(Uncertain source, std::vector<Knob> knobs) {
  if (source.half_width <= 0 || knobs.empty()) return;
  for (auto& knob : knobs) {
    source.columns.push_back(knobs_.size());
    knobs_.push_back(std::move(knob));
  }
  sources_.push_back(std::move(source));
}

void UncertainStudy::add_actuators() {
  std::vector<std::string> seen;
  for (const auto& door : study_.doors) {
    const std::string& id = door.actuator->id;
    if (std::find(seen.begin(), seen.end(), id) != seen.end()) continue;
    seen.push_back(id);
    for (const auto& scatter : scatter_of(std::get<model::Actuator>(door.actuator->body))) {
      std::vector<Knob> knobs;
      for (std::size_t k = 0; k < study_.doors.size(); ++k) {
        if (study_.doors[k].actuator->id == id)
          knobs.push_back({Knob::actuator, k, scatter.half_width, scatter.pointer});
      }
      add(relative(id + scatter.pointer, model::figure_words(scatter.pointer) + " of " + id,
                   scatter.half_width, scatter.origin),
          std::move(knobs));
    }
  }
}

void UncertainStudy::add_circuit() {
  // Parts of one id are one source; each place that one stands in differs by itself.
  struct Places {
    std::string id;
    std::vector<Knob> knobs;
  };
  const auto put = [](std::vector<Places>& all, const PartPtr& part, Knob knob) {
    const auto is = [&](const Places& places) { return places.id == part->id; };
    auto found = std::find_if(all.begin(), all.end(), is);
    if (found == all.end()) found = all.insert(all.end(), Places{part->id, {}});
    found->knobs.push_back(std::move(knob));
  };
  std::vector<Places> wires, fuses;
  // A run without length has no resistance to differ.
  const model::Job& job = study_.job;
  if (job.feed.length > 0) put(wires, study_.feed.wire, {Knob::feed_wire, 0, wire_scatter.half_width, {}});
  put(fuses, study_.feed.fuse, {Knob::main_fuse, 0, fuse_scatter.half_width, {}});
  for (std::size_t k = 0; k < study_.doors.size(); ++k) {
    const model::DoorParts& door = study_.doors[k];
    if (job.doors[k].branch_length > 0)
      put(wires, door.wire, {Knob::door_wire, k, wire_scatter.half_width, {}});
    if (door.fuse) put(fuses, door.fuse, {Knob::door_fuse, k, fuse_scatter.half_width, {}});
  }
  const auto add_all = [this](std::vector<Places>& all, const char* key, const UsualScatter& usual) {
    for (auto& places : all) {
      add(relative(places.id + key, std::string(usual.name) + " of " + places.id, usual.half_width,
                   usual.origin),
          std::move(places.knobs));
    }
  };
  add_all(wires, "/mohm_per_m", wire_scatter);
  add_all(fuses, "/cold_mohm", fuse_scatter);
  const std::string& relay = study_.feed.relay->id;
  add(relative(relay + "/contact_mohm", std::string(contact_scatter.name) + " of " + relay,
               contact_scatter.half_width, contact_scatter.origin),
      {{Knob::relay, 0, contact_scatter.half_width, {}}});
  if (study_.job.supply.internal_ohm > 0) {
    add(relative("internal_mohm", battery_scatter.name, battery_scatter.half_width, battery_scatter.origin),
        {{Knob::battery, 0, battery_scatter.half_width, {}}});
  }
}

void UncertainStudy::add_job() {
  constexpr const char* stated = "stated by the job";
  const model::Spread& spread = study_.job.spread;
  std::vector<Knob> rods, lengths;
  if (study_.job.feed.length > 0) lengths.push_back({Knob::feed_length, 0, spread.length, {}});
  for (std::size_t k = 0; k < study_.job.doors.size(); ++k) {
    const model::Door& door = study_.job.doors[k];
    if (pushes(door.rod_force) || (door.rod_force_unlock && pushes(*door.rod_force_unlock)))
      rods.push_back({Knob::rod, k, spread.rod_force, {}});
    if (door.branch_length > 0) lengths.push_back({Knob::door_length, k, spread.length, {}});
  }
  add(relative("rod_force", "rod force", spread.rod_force, stated), std::move(rods));
  add(relative("length", "run lengths", spread.length, stated), std::move(lengths));
  add({"voltage_V", "supply voltage", "V", spread.voltage_V, stated, {}},
      {{Knob::voltage, 0, spread.voltage_V, {}}});
  add({"ambient_C", "ambient", "K", spread.ambient_C, stated, {}},
      {{Knob::ambient, 0, spread.ambient_C, {}}});
}

void UncertainStudy::turn(const Knob& knob, double place, Installation& made) const {
  model::Study& study = made.study;
  const double shift = place * knob.half_width, factor = 1 + shift;
  const auto scale_wire = [factor](PartPtr& part) {
    change_part<model::Wire>(part, [factor](model::Wire& wire) { wire.ohm_per_m *= factor; });
  };
  const auto scale_fuse = [factor](PartPtr& part) {
    change_part<model::Fuse>(part, [factor](model::Fuse& fuse) { fuse.cold_ohm *= factor; });
  };
  switch (knob.of) {
    case Knob::actuator:
      break;  // by the door, all figures at once
    case Knob::feed_wire:
      return scale_wire(study.feed.wire);
    case Knob::door_wire:
      return scale_wire(study.doors[knob.door].wire);
    case Knob::main_fuse:
      return scale_fuse(study.feed.fuse);
    case Knob::door_fuse:
      return scale_fuse(study.doors[knob.door].fuse);
    case Knob::relay:
      return change_part<model::Relay>(study.feed.relay,
                                       [factor](model::Relay& relay) { relay.contact_ohm *= factor; });
    case Knob::battery:
      study.job.supply.internal_ohm *= factor;
      break;
    case Knob::rod: {
      model::Door& door = study.job.doors[knob.door];
      scale(door.rod_force, factor);
      if (door.rod_force_unlock) scale(*door.rod_force_unlock, factor);
      break;
    }
    case Knob::feed_length:
      study.job.feed.length *= factor;
      break;
    case Knob::door_length:
      study.job.doors[knob.door].branch_length *= factor;
      break;
    case Knob::voltage:
      made.voltage_shift_V = shift;
      break;
    case Knob::ambient:
      made.ambient_shift_K = shift;
      break;
  }
}

Installation UncertainStudy::at(const std::vector<double>& places) const {
  base::require(places.size() == knobs_.size(), "a place for every column");
  Installation made{study_, 0, 0};
  std::vector<std::shared_ptr<model::Part>> actuators(study_.doors.size());
  for (std::size_t c = 0; c < knobs_.size(); ++c) {
    const Knob& knob = knobs_[c];
    if (places[c] == 0) continue;
    if (knob.of != Knob::actuator) {
      turn(knob, places[c], made);
      // Doors are told apart by their records, which name a part and not how it has turned out.
      const bool of_door = knob.of == Knob::door_wire || knob.of == Knob::door_fuse;
      if (of_door && !actuators[knob.door])
        actuators[knob.door] = std::make_shared<model::Part>(*study_.doors[knob.door].actuator);
      continue;
    }
    auto& part = actuators[knob.door];
    if (!part) part = std::make_shared<model::Part>(*study_.doors[knob.door].actuator);
    auto& actuator = std::get<model::Actuator>(part->body);
    actuator = model::with_scaled(actuator, knob.pointer, 1 + places[c] * knob.half_width);
  }
  for (std::size_t k = 0; k < actuators.size(); ++k) {
    if (!actuators[k]) continue;
    actuators[k]->id += "." + std::to_string(k);
    made.study.job.doors[k].actuator = actuators[k]->id;
    made.study.doors[k].actuator = std::move(actuators[k]);
  }
  return made;
}

}  // namespace latchwright::spread
