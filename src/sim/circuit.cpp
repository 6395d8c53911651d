// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/circuit.h"

#include <algorithm>

#include <numbers>

#include "base/failure.h"

namespace latchwright::sim {

namespace {

DoorCircuit make_door(const model::Study& study, const Condition& at, std::size_t k) {
  const model::Door& door = study.job.doors[k];
  const model::Actuator& actuator = study.actuator(k);
  const model::Wire& wire = study.door_wire(k);
  double branch = 2 * door.branch_length * physics::copper_resistance(wire.ohm_per_m, 20, at.ambient_C);
  branch += door.joints_ohm;
  if (study.doors[k].fuse) branch += std::get<model::Fuse>(study.doors[k].fuse->body).cold_ohm;

  physics::Thermistor ptc;
  ptc.resistance_25 =
      actuator.ptc.resistance * at.ptc_scale * (at.after_trip ? actuator.ptc.after_trip_ratio : 1.0);
  ptc.curve = std::make_shared<const physics::RatioCurve>(study.doors[k].curve);

  const double cold = study.job.climate.cold_C;
  const model::RodForce& unlock = door.rod_force_unlock ? *door.rod_force_unlock : door.rod_force;
  const model::Drive& drive = actuator.drive;
  return DoorCircuit{
      .name = door.name,
      .branch_ohm = branch,
      .motor = physics::MotorLaw(actuator.motor),
      .ptc = std::move(ptc),
      .heat = physics::HeatNetwork(actuator.thermal, actuator.ptc),
      .rod_per_rad = drive.lead / (2 * std::numbers::pi * drive.gear_ratio),
      .efficiency = drive.efficiency,
      .takeup_rad = 2 * std::numbers::pi * drive.takeup_turns,
      .stroke = door.stroke,
      .stop_stiffness = drive.stop_stiffness,
      .stop_damping = drive.stop_damping,
      .lock_load = physics::RodLoad(door.rod_force, door.stroke, at.ambient_C, cold),
      .unlock_load = physics::RodLoad(unlock, door.stroke, at.ambient_C, cold),
  };
}

}  // namespace

Circuit make_circuit(const model::Study& study, const Condition& at, const std::vector<std::size_t>& doors) {
  base::require(study.complete(), "an unfinished job cannot be simulated");
  const model::Feed& feed = study.job.feed;
  const double contacts = 2 * study.relay().contact_ohm;
  Circuit circuit;
  circuit.at = at;
  circuit.internal_ohm = study.job.supply.internal_ohm;
  circuit.shared_ohm =
      circuit.internal_ohm + std::get<model::Fuse>(study.feed.fuse->body).cold_ohm +
      feed.length * physics::copper_resistance(study.feed_wire().ohm_per_m, 20, at.ambient_C) + contacts +
      feed.ground_ohm;
  circuit.source_V = at.voltage_V - feed.other_load_A * (circuit.shared_ohm - contacts);
  if (doors.empty()) {
    for (std::size_t k = 0; k < study.job.doors.size(); ++k) circuit.doors.push_back(make_door(study, at, k));
  } else {
    for (const std::size_t k : doors) circuit.doors.push_back(make_door(study, at, k));
  }
  return circuit;
}

void standstill_currents(const Circuit& circuit, const double* resistance, double* current) {
  const std::size_t count = circuit.doors.size();
  if (count == 1) {
    const double drive = circuit.source_V - circuit.doors[0].motor.brush_drop;
    current[0] = std::max(0.0, drive / (resistance[0] + circuit.shared_ohm));
    return;
  }
  base::require(count <= most_doors, "more doors than a job may have");
  // v_node with the set S of conducting doors: (V + R_s sum V_b/R) / (1 + R_s sum 1/R). Mostly all conduct:
  // if the node stands above every brush drop.
  double share[most_doors];  // R_s / R
  double top = circuit.source_V, bottom = 1, largest_drop = 0;
  for (std::size_t k = 0; k < count; ++k) {
    const double drop = circuit.doors[k].motor.brush_drop;
    share[k] = circuit.shared_ohm / resistance[k];
    top += share[k] * drop;
    bottom += share[k];
    largest_drop = std::max(largest_drop, drop);
  }
  double node = top / bottom;
  if (node > largest_drop) {
    for (std::size_t k = 0; k < count; ++k) {
      current[k] = (node - circuit.doors[k].motor.brush_drop) / resistance[k];
    }
    return;
  }
  // A door joins while the node without it stands above its brush drop; doors with smaller drops join first.
  std::size_t order[most_doors];
  const auto drop_of = [&circuit](std::size_t k) { return circuit.doors[k].motor.brush_drop; };
  for (std::size_t k = 0; k < count; ++k) {  // sorted by insertion: a dozen doors at most
    std::size_t place = k;
    for (; place > 0 && drop_of(order[place - 1]) > drop_of(k); --place) order[place] = order[place - 1];
    order[place] = k;
  }
  top = node = circuit.source_V;
  bottom = 1;
  std::size_t conducting = 0;
  for (; conducting < count; ++conducting) {
    const std::size_t k = order[conducting];
    const double drop = drop_of(k);
    if (node <= drop) break;
    top += share[k] * drop;
    bottom += share[k];
    node = top / bottom;
  }
  for (std::size_t n = 0; n < count; ++n) {
    const std::size_t k = order[n];
    current[k] = n < conducting ? (node - drop_of(k)) / resistance[k] : 0.0;
  }
}

std::vector<double> ambient_stall_currents(const Circuit& circuit) {
  std::vector<double> resistance, current(circuit.doors.size());
  const double T = circuit.at.ambient_C;
  for (const auto& door : circuit.doors) {
    resistance.push_back(door.branch_ohm + door.motor.winding_ohm(T) + door.ptc.resistance(T).value);
  }
  standstill_currents(circuit, resistance.data(), current.data());
  return current;
}

}  // namespace latchwright::sim
