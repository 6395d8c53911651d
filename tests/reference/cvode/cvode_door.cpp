// SPDX-License-Identifier: GPL-3.0-or-later
#include "reference/cvode/cvode_door.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace latchwright::tests::cvode {

Sloped DoorModel::friction(double shell_C) const {
  const double below = 25 - shell_C;
  if (below <= 0) return {friction_25, 0};
  const double now = friction_25 * std::exp(stiffening * below);
  return {now, -stiffening * now};
}

Sloped DoorModel::pill_ohm(double T_C) const {
  const Sloped ratio = curve.at(T_C);
  return {pill_25 * ratio.value, pill_25 * ratio.slope};
}

void DoorModel::conduct(const double* T, double ambient_C, double* out) const {
  const double out_of_core = armature_casing * ((split ? T[core] : T[armature]) - T[casing]);
  if (split) {
    const double out_of_copper = copper_core * (T[armature] - T[core]);
    out[armature] = -out_of_copper / capacity[armature];
    out[core] = (out_of_copper - out_of_core) / capacity[core];
  } else {
    out[armature] = -out_of_core / capacity[armature];
  }
  const double casing_to_shell = casing_shell * (T[casing] - T[shell]);
  const double pill_to_shell = pill_shell * (T[pill] - T[shell]);
  const double pill_to_casing = pill_casing * (T[pill] - T[casing]);
  out[casing] = (out_of_core - casing_to_shell + pill_to_casing) / capacity[casing];
  out[pill] = -(pill_to_shell + pill_to_casing) / capacity[pill];
  out[shell] = (casing_to_shell + pill_to_shell - shell_air * (T[shell] - ambient_C)) / capacity[shell];
}

double DoorModel::pill_W_per_K() const {
  const double around = pill_casing * casing_shell / (pill_casing + casing_shell);
  const double to_shell = pill_shell + around;
  return to_shell * shell_air / (to_shell + shell_air);
}

namespace {

DoorModel make_door(const model::Study& study, const Conditions& at, std::size_t k) {
  const model::Door& door = study.job.doors[k];
  const model::Actuator& part = study.actuator(k);
  const model::Motor& motor = part.motor;
  const model::Thermal& thermal = part.thermal;
  DoorModel out;
  out.name = door.name;
  out.branch =
      2 * door.branch_length * Copper(study.door_wire(k).ohm_per_m, 20).at(at.ambient_C) + door.joints_ohm;
  if (study.doors[k].fuse) out.branch += std::get<model::Fuse>(study.doors[k].fuse->body).cold_ohm;
  out.inductance = motor.inductance;
  out.drop = motor.brush_drop;
  out.winding = Copper(motor.resistance, 25);
  out.torque_25 = motor.torque_constant;
  out.drift = motor.magnet_drift_per_K;
  out.friction_25 = motor.friction;
  out.stiffening = motor.cold_stiffening_per_K;
  out.viscous = motor.viscous;
  out.inertia = motor.inertia;
  out.pill_25 = part.ptc.resistance * at.ptc_scale * (at.after_trip ? part.ptc.after_trip_ratio : 1.0);
  out.curve = RatioCurve(study.doors[k].curve);
  out.rod_per_rad = part.drive.lead / (2 * std::numbers::pi * part.drive.gear_ratio);
  out.efficiency = part.drive.efficiency;
  const double cold_C = study.job.climate.cold_C;
  const auto pieces = [&](const model::RodForce& force) {
    double part_cold = 0;  // where cold_C is itself no colder than 23 degC there is no cold to stiffen in
    if (cold_C < 23) part_cold = std::clamp((23 - at.ambient_C) / (23 - cold_C), 0.0, 1.0);
    return RodPieces(force, part.drive, door.stroke, 1 + (force.cold_factor - 1) * part_cold);
  };
  out.lock = pieces(door.rod_force);
  out.unlock = door.rod_force_unlock ? pieces(*door.rod_force_unlock) : out.lock;
  out.split = thermal.copper_J_per_K.has_value();
  out.capacity[armature] = thermal.winding_J_per_K;
  if (out.split) {
    out.capacity[armature] = *thermal.copper_J_per_K;
    out.capacity[core] = thermal.winding_J_per_K - *thermal.copper_J_per_K;
    out.copper_core = 1 / *thermal.copper_to_core_K_per_W;
    out.coil_weight = thermal.hot_coil_share ? 3 * *thermal.hot_coil_share : 1.0;
  }
  out.capacity[casing] = thermal.case_J_per_K;
  out.capacity[pill] = part.ptc.heat_J_per_K;
  out.capacity[shell] = thermal.housing_J_per_K;
  out.armature_casing = 1 / thermal.winding_to_case_K_per_W;
  out.casing_shell = 1 / thermal.case_to_housing_K_per_W;
  out.pill_shell = part.ptc.to_housing_W_per_K;
  out.pill_casing = part.ptc.to_case_W_per_K;
  out.shell_air = 1 / thermal.housing_to_ambient_K_per_W;
  return out;
}

}  // namespace

Network make_network(const model::Study& study, const Conditions& at, const std::vector<std::size_t>& doors) {
  const model::Feed& feed = study.job.feed;
  const double contacts = 2 * study.relay().contact_ohm;
  Network out;
  out.at = at;
  out.internal = study.job.supply.internal_ohm;
  out.shared = out.internal + std::get<model::Fuse>(study.feed.fuse->body).cold_ohm +
               feed.length * Copper(study.feed_wire().ohm_per_m, 20).at(at.ambient_C) + contacts +
               feed.ground_ohm;
  out.source = at.voltage_V - feed.other_load_A * (out.shared - contacts);
  std::vector<std::size_t> chosen = doors;
  for (std::size_t k = 0; doors.empty() && k < study.job.doors.size(); ++k) chosen.push_back(k);
  for (const std::size_t k : chosen) {
    out.doors.push_back(make_door(study, at, k));
    if (out.doors.back().split) out.nodes = 5;
  }
  return out;
}

double standing_currents(const Network& network, const std::vector<double>& ohm,
                         std::vector<double>& current) {
  const std::size_t n = ohm.size();
  // Dropping a door lowers the node, so a dropped door never comes back.
  std::fill(current.begin(), current.end(), 1.0);
  for (;;) {
    double above = network.source, below = 1;
    for (std::size_t k = 0; k < n; ++k) {
      if (!(current[k] > 0)) continue;
      above += network.shared * network.doors[k].drop / ohm[k];
      below += network.shared / ohm[k];
    }
    bool dropped = false;
    for (std::size_t k = 0; k < n; ++k) {
      if (!(current[k] > 0)) continue;
      current[k] = std::max(0.0, (above / below - network.doors[k].drop) / ohm[k]);
      dropped = dropped || current[k] == 0;
    }
    if (!dropped) return below;
  }
}

}  // namespace latchwright::tests::cvode
