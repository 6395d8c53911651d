// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/circuit.h"

#include <algorithm>

#include <numbers>

#include "base/failure.h"

namespace latchwright::sim {

namespace {

/// What a door's circuit takes from outside its actuator.
struct Around {
  std::string name;
  double branch_ohm = 0;
  double stroke = 0;
  const model::RodForce& lock;
  const model::RodForce& unlock;
  double cold_C = 0;
};

DoorCircuit make_door(const model::Actuator& actuator, const model::PtcCurve& curve, const Condition& at,
                      const Around& around) {
  physics::Thermistor ptc;  // docs/model.md (1.4)
  ptc.resistance_25 =
      actuator.ptc.resistance * at.ptc_scale * (at.after_trip ? actuator.ptc.after_trip_ratio : 1.0);
  ptc.curve = std::make_shared<const physics::RatioCurve>(curve);

  const model::Drive& drive = actuator.drive;
  return DoorCircuit{
      .name = around.name,
      .branch_ohm = around.branch_ohm,
      .motor = physics::MotorLaw(actuator.motor),
      .ptc = std::move(ptc),
      .heat = physics::HeatNetwork(actuator.thermal, actuator.ptc),
      .rod_per_rad = drive.lead / (2 * std::numbers::pi * drive.gear_ratio),  // docs/model.md (3.1)
      .efficiency = drive.efficiency,
      .takeup_rad = 2 * std::numbers::pi * drive.takeup_turns,
      .stroke = around.stroke,
      .stop_stiffness = drive.stop_stiffness,
      .stop_damping = drive.stop_damping,
      .lock_load = physics::RodLoad(around.lock, around.stroke, at.ambient_C, around.cold_C),
      .unlock_load = physics::RodLoad(around.unlock, around.stroke, at.ambient_C, around.cold_C),
  };
}

DoorCircuit make_door(const model::Study& study, const Condition& at, std::size_t k) {
  const model::Door& door = study.job.doors[k];
  return make_door(study.actuator(k), study.doors[k].curve, at,
                   {.name = door.name,
                    .branch_ohm = branch_ohms(study, k, at.ambient_C).sum(),
                    .stroke = door.stroke,
                    .lock = door.rod_force,
                    .unlock = door.rod_force_unlock ? *door.rod_force_unlock : door.rod_force,
                    .cold_C = study.job.climate.cold_C});
}

}  // namespace

// docs/model.md (2.1)
SharedOhms shared_ohms(const model::Study& study, double ambient_C) {
  const model::Feed& feed = study.job.feed;
  return {.internal = study.job.supply.internal_ohm,
          .fuse = std::get<model::Fuse>(study.feed.fuse->body).cold_ohm,
          .wire = feed.length * physics::copper_resistance(study.feed_wire().ohm_per_m, 20, ambient_C),
          .contacts = 2 * study.relay().contact_ohm,
          .ground = feed.ground_ohm};
}

// docs/model.md (2.2)
BranchOhms branch_ohms(const model::Study& study, std::size_t k, double ambient_C) {
  const model::Door& door = study.job.doors[k];
  const double per_m = physics::copper_resistance(study.door_wire(k).ohm_per_m, 20, ambient_C);
  const model::PartPtr& fuse = study.doors[k].fuse;
  return {.wire = 2 * door.branch_length * per_m,
          .joints = door.joints_ohm,
          .fuse = fuse ? std::get<model::Fuse>(fuse->body).cold_ohm : 0.0};
}

Circuit make_circuit(const model::Study& study, const Condition& at, const std::vector<std::size_t>& doors) {
  base::require(study.complete(), "an unfinished job cannot be simulated");
  const model::Feed& feed = study.job.feed;
  const SharedOhms shared = shared_ohms(study, at.ambient_C);
  Circuit circuit;
  circuit.at = at;
  circuit.internal_ohm = shared.internal;
  circuit.shared_ohm = shared.sum();
  // The part of docs/model.md (2.3) that no door's current changes.
  circuit.source_V = at.voltage_V - feed.other_load_A * (circuit.shared_ohm - shared.contacts);
  if (doors.empty()) {
    for (std::size_t k = 0; k < study.job.doors.size(); ++k) circuit.doors.push_back(make_door(study, at, k));
  } else {
    for (const std::size_t k : doors) circuit.doors.push_back(make_door(study, at, k));
  }
  return circuit;
}

Circuit make_bench_circuit(const model::Actuator& actuator, const model::PtcCurve& curve, const Condition& at,
                           const model::RodForce& load, double cold_C) {
  Circuit circuit;
  circuit.at = at;
  circuit.source_V = at.voltage_V;
  circuit.doors.push_back(
      make_door(actuator, curve, at,
                {.name = {}, .stroke = actuator.stroke, .lock = load, .unlock = load, .cold_C = cold_C}));
  return circuit;
}

// docs/model.md (2.5), (2.6)
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

std::vector<double> standstill_currents(const Circuit& circuit,
                                        const std::vector<physics::Temperatures>& temperatures) {
  base::require(temperatures.size() == circuit.doors.size(), "every door has its temperatures");
  std::vector<double> resistance, current(circuit.doors.size());
  for (std::size_t k = 0; k < circuit.doors.size(); ++k) {
    const DoorCircuit& door = circuit.doors[k];
    const physics::Temperatures& T = temperatures[k];
    resistance.push_back(door.branch_ohm + door.motor.winding_ohm(T[physics::winding]) +
                         door.ptc.resistance(T[physics::ptc]).value);
  }
  standstill_currents(circuit, resistance.data(), current.data());
  return current;
}

// docs/model.md (3.10)
double standstill_force(const DoorCircuit& door, double current_A, const physics::Temperatures& T) {
  // Friction holds a motor back; it does not push the rod.
  const double torque = std::max(0.0, door.motor.torque_constant(T[physics::motor_case]) * current_A -
                                          door.motor.friction(T[physics::housing]));
  return door.efficiency * torque / door.rod_per_rad;
}

std::vector<double> ambient_stall_currents(const Circuit& circuit) {
  physics::Temperatures ambient;
  ambient.fill(circuit.at.ambient_C);
  return standstill_currents(circuit, std::vector(circuit.doors.size(), ambient));
}

}  // namespace latchwright::sim
