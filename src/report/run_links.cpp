// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/run_links.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/failure.h"
#include "base/text.h"
#include "base/wire_gauge.h"
#include "model/place.h"

namespace latchwright::report {

namespace {

const char* const not_chosen = "not chosen";

std::string amps_text(const model::PartPtr& fuse) {
  return base::exact_text(std::get<model::Fuse>(fuse->body).rating_A) + " A";
}

double area_of(const model::PartPtr& wire) { return std::get<model::Wire>(wire->body).area * 1e6; }

void fill_door_run(const model::Study& study, std::size_t door, LinkState& state) {
  using model::PlaceKind;
  const model::DoorParts& parts = study.doors[door];
  const bool wants_fuse = study.job.doors[door].fuse.has_value();
  state.places.push_back(model::pointer_of({PlaceKind::door_wire, door}));
  if (wants_fuse) state.places.push_back(model::pointer_of({PlaceKind::door_fuse, door}));
  state.chosen = parts.wire && (parts.fuse || !wants_fuse);
  if (parts.wire) state.area_mm2 = area_of(parts.wire);
  const std::string wire = parts.wire ? base::area_text(*state.area_mm2) : std::string("wire not chosen");
  if (!parts.wire && !parts.fuse) {
    state.part = not_chosen;
  } else if (!wants_fuse) {
    state.part = wire;
  } else {
    state.part = wire + " · " + (parts.fuse ? amps_text(parts.fuse) : std::string("fuse not chosen"));
  }
}

void fill_actuator(const model::Study& study, std::size_t door, LinkState& state) {
  state.places.push_back(model::pointer_of({model::PlaceKind::actuator, door}));
  state.chosen = study.doors[door].actuator != nullptr;
  if (!state.chosen) {
    state.part = not_chosen;
    return;
  }
  const model::Actuator& actuator = study.actuator(door);
  const double ohms =
      state.link.kind == LinkKind::thermistor ? actuator.ptc.resistance : actuator.motor.resistance;
  state.part = base::exact_text(ohms) + " Ω";
}

/// The largest force of either way, N, without what cold adds.
double rod_peak(const model::Door& door) {
  // At 23 °C and above the rod takes what the job says.
  constexpr double plain_C = 23;
  const auto largest = [&](const model::RodForce& force) {
    return physics::RodLoad(force, door.stroke, plain_C, plain_C).largest();
  };
  const double lock = largest(door.rod_force);
  return door.rod_force_unlock ? std::max(lock, largest(*door.rod_force_unlock)) : lock;
}

LinkState state_of(const model::Study& study, const Link& link) {
  using model::PlaceKind;
  LinkState state;
  state.link = link;
  const auto of_door = [&](const char* what) {
    return std::string(what) + ", " + study.job.doors[link.door].name;
  };
  const auto single = [&](const char* name, PlaceKind place, const model::PartPtr& part, auto text_of) {
    state.name = name;
    state.places.push_back(model::pointer_of({place}));
    state.chosen = part != nullptr;
    state.part = part ? text_of() : std::string(not_chosen);
  };
  switch (link.kind) {
    case LinkKind::battery:
      state.name = "battery";
      state.part = base::exact_text(study.job.supply.usual_V) + " V";
      break;
    case LinkKind::main_fuse:
      single("main fuse", PlaceKind::main_fuse, study.feed.fuse, [&] { return amps_text(study.feed.fuse); });
      break;
    case LinkKind::feed:
      single("feed", PlaceKind::feed_wire, study.feed.wire, [&] {
        state.area_mm2 = area_of(study.feed.wire);
        return base::area_text(*state.area_mm2);
      });
      break;
    case LinkKind::relay:
      single("relay", PlaceKind::relay, study.feed.relay,
             [&] { return base::exact_text(study.relay().rated_A) + " A"; });
      break;
    case LinkKind::door_run:
      state.name = of_door("door run");
      fill_door_run(study, link.door, state);
      break;
    case LinkKind::thermistor:
      state.name = of_door("thermistor");
      fill_actuator(study, link.door, state);
      break;
    case LinkKind::motor:
      state.name = of_door("motor");
      fill_actuator(study, link.door, state);
      break;
    case LinkKind::rod:
      // The rod is the car's: nothing to choose.
      state.name = of_door("rod");
      state.force_N = rod_peak(study.job.doors[link.door]);
      state.part = base::significant(*state.force_N) + " N";
      break;
  }
  return state;
}

/// The door whose thermistor warms quickest at standstill with everything at ambient; the first of equals.
std::size_t quickest_thermistor(const model::Study& study, const verdict::At& at) {
  const sim::Circuit circuit =
      sim::make_circuit(study, {.voltage_V = at.voltage_V, .ambient_C = at.ambient_C, .after_trip = true});
  const auto amps = sim::ambient_stall_currents(circuit);
  std::size_t quickest = 0;
  double most = -1;  // K/s
  for (std::size_t k = 0; k < amps.size(); ++k) {
    const sim::DoorCircuit& door = circuit.doors[k];
    const double watts = amps[k] * amps[k] * door.ptc.resistance(at.ambient_C).value;
    const double rate = watts * door.heat.per_capacity(physics::ptc);
    if (rate > most) {
      most = rate;
      quickest = k;
    }
  }
  return quickest;
}

/// A fuse's row names its fuse in words.
Link fuse_link(const model::Study& study, const verdict::CheckRow& row) {
  if (row.part == verdict::main_fuse_name) return {LinkKind::main_fuse};
  for (std::size_t k = 0; k < study.job.doors.size(); ++k) {
    if (study.job.doors[k].fuse && row.part == verdict::door_fuse_name(study.job.doors[k])) {
      return {LinkKind::door_run, k};
    }
  }
  throw base::InternalError("a row about a fuse that the job does not have: " + row.part);
}

}  // namespace

std::vector<Link> links_of(const model::Study& study) {
  std::vector<Link> links{{LinkKind::battery}, {LinkKind::main_fuse}, {LinkKind::feed}, {LinkKind::relay}};
  for (std::size_t k = 0; k < study.job.doors.size(); ++k) {
    for (const LinkKind kind : {LinkKind::door_run, LinkKind::thermistor, LinkKind::motor, LinkKind::rod}) {
      links.push_back({kind, k});
    }
  }
  return links;
}

Link link_of(const model::Study& study, const verdict::CheckRow& row) {
  using verdict::CheckId;
  const auto of_door = [&](LinkKind kind) {
    base::require(row.door.has_value(), "a row about a door names it");
    return Link{kind, *row.door};
  };
  switch (row.id) {
    case CheckId::stroke:
    case CheckId::force:
    case CheckId::throw_time:
      return of_door(LinkKind::rod);
    case CheckId::lockout: {
      const auto& usual = study.job.supply.usual_V;
      const verdict::At at = row.at.value_or(verdict::At{usual, study.job.climate.usual_C});
      return {LinkKind::thermistor, row.stops_first ? *row.stops_first : quickest_thermistor(study, at)};
    }
    case CheckId::winding:
    case CheckId::winding_fault:
      return of_door(LinkKind::motor);
    case CheckId::ptc_rating:
      return of_door(LinkKind::thermistor);
    case CheckId::volt_drop:
      return of_door(LinkKind::door_run);
    case CheckId::wire_heat:
    case CheckId::fuse_guard:
      return row.door ? of_door(LinkKind::door_run) : Link{LinkKind::feed};
    case CheckId::fuse_load:
    case CheckId::fuse_carry:
    case CheckId::fuse_clear:
      return fuse_link(study, row);
    case CheckId::relay:
      return {LinkKind::relay};
  }
  throw base::InternalError("a row of no check");
}

std::vector<LinkState> run_links(const model::Study& study, const verdict::Examination* examination) {
  std::vector<LinkState> states;
  for (const Link& link : links_of(study)) states.push_back(state_of(study, link));
  if (examination == nullptr) return states;
  for (std::size_t n = 0; n < examination->worst.size(); ++n) {
    const verdict::CheckRow& row = examination->worst[n];
    const Link link = link_of(study, row);
    const auto state =
        std::find_if(states.begin(), states.end(), [&](const LinkState& each) { return each.link == link; });
    base::require(state != states.end(), "a row about a link that the run does not have");
    state->rows.push_back(n);
    if (!state->worst || verdict::worse(row, examination->worst[*state->worst])) state->worst = n;
  }
  return states;
}

}  // namespace latchwright::report
