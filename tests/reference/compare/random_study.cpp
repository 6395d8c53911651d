// SPDX-License-Identifier: GPL-3.0-or-later
#include "reference/compare/random_study.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include "support/studies.h"

namespace latchwright::tests {

namespace {

/// Rises slowly and then steeply; or dips first, as ceramics do; or hardly at all; or ends early.
model::PtcCurve curve(Draw& draw, std::set<std::string>& features) {
  const double shift = draw.between(-12, 12), steepness = draw.between(0.8, 1.25);
  model::PtcCurve out;
  const auto kind = draw.below(10);
  if (kind < 5) {
    out.T_C = {-40, 0, 25, 60, 80, 100, 110, 120, 125, 130, 140, 150};
    out.ratio = {0.8, 0.92, 1, 1.3, 1.7, 3, 6, 30, 200, 1000, 5000, 8000};
  } else if (kind < 7) {
    features.insert("ceramic curve");
    out.T_C = {-40, -10, 25, 60, 85, 100, 115, 130, 150, 180};
    out.ratio = {1.5, 1.2, 1, 0.88, 0.84, 1.1, 4, 40, 700, 3000};
  } else if (kind < 9) {
    features.insert("short table");
    out.T_C = {-30, 25, 70, 95, 105, 112};
    out.ratio = {0.85, 1, 1.4, 3, 9, 60};
  } else {
    features.insert("flat curve");
    out.T_C = {-40, 25, 80, 140, 200};
    out.ratio = {0.95, 1, 1.03, 1.08, 1.1};
  }
  for (std::size_t k = 0; k < out.T_C.size(); ++k) {
    if (out.T_C[k] > 25) out.T_C[k] += shift;
    out.ratio[k] = std::pow(out.ratio[k], steepness);
  }
  return out;
}

model::Actuator actuator(Draw& draw, std::set<std::string>& features) {
  model::Actuator out;
  out.stroke = 0.05;
  model::Motor& motor = out.motor;
  motor.resistance = draw.around(1.1, 4.5);
  motor.inductance = draw.chance(0.15) ? draw.around(5e-3, 60e-3) : draw.around(0.1e-3, 4e-3);
  if (motor.inductance > 5e-3) features.insert("large inductance");
  motor.torque_constant = draw.around(6e-3, 16e-3);
  motor.brush_drop = draw.chance(0.1) ? 0 : draw.between(0.2, 1.4);
  motor.friction = draw.chance(0.1) ? 0 : draw.between(0.3e-3, 3e-3);
  motor.viscous = draw.chance(0.2) ? 0 : draw.around(0.05e-6, 4e-6);
  motor.inertia = draw.around(3e-7, 4e-6);
  motor.magnet_drift_per_K = draw.between(-0.003, 0.0005);
  motor.cold_stiffening_per_K = draw.chance(0.2) ? 0 : draw.between(0, 0.03);
  motor.winding_class_C = 130;
  const bool odd = draw.chance(0.15);
  if (odd) features.insert("odd actuator");
  const auto oddly = [&](double& value) {
    if (odd) value *= draw.around(0.2, 5);
  };
  for (double* value : {&motor.inductance, &motor.inertia, &motor.friction, &motor.viscous}) oddly(*value);
  motor.inductance = std::min(motor.inductance, 0.1);
  model::Drive& drive = out.drive;
  drive.gear_ratio = draw.around(4, 14);
  drive.lead = draw.around(8e-3, 25e-3);
  drive.efficiency = draw.between(0.25, 0.9);
  drive.takeup_turns = draw.chance(0.25) ? 0 : draw.between(0.2, 2.5);
  if (drive.takeup_turns == 0) features.insert("no take-up");
  drive.stop_stiffness = draw.around(8e3, 4e5);
  drive.stop_damping = draw.chance(0.2) ? 0 : draw.around(2, 150);
  model::Thermal& thermal = out.thermal;
  thermal.winding_J_per_K = draw.around(4, 25);
  thermal.case_J_per_K = draw.around(12, 50);
  thermal.housing_J_per_K = draw.around(25, 120);
  for (double* value : {&thermal.winding_J_per_K, &thermal.case_J_per_K, &thermal.housing_J_per_K})
    oddly(*value);
  thermal.winding_to_case_K_per_W = draw.around(3, 14);
  thermal.case_to_housing_K_per_W = draw.around(2, 10);
  thermal.housing_to_ambient_K_per_W = draw.around(2, 9);
  if (draw.chance(0.4)) {
    features.insert("copper and core");
    thermal.copper_J_per_K = thermal.winding_J_per_K * draw.between(0.25, 0.7);
    thermal.copper_to_core_K_per_W = draw.around(0.2, 3);
    if (draw.chance(0.7)) thermal.hot_coil_share = draw.between(1.0 / 3, 2.0 / 3);
  }
  model::Ptc& ptc = out.ptc;
  ptc.resistance = draw.around(0.15, 1.2);
  ptc.heat_J_per_K = draw.around(0.2, 2);
  ptc.to_housing_W_per_K = draw.around(6e-3, 40e-3);
  ptc.to_case_W_per_K = draw.chance(0.2) ? 0 : draw.around(1e-3, 15e-3);
  for (double* value : {&ptc.heat_J_per_K, &ptc.to_housing_W_per_K, &drive.stop_damping}) oddly(*value);
  ptc.max_V = 30;
  ptc.max_A = 40;
  ptc.curve = curve(draw, features);
  ptc.after_trip_ratio = draw.between(1.05, 2);
  return out;
}

model::RodForce rod_force(Draw& draw, double peak, double stroke, std::set<std::string>& features) {
  model::RodForce out;
  if (draw.chance(0.5)) {
    out.cold_factor = draw.between(1, 2.5);
    features.insert("cold factor");
  }
  switch (draw.below(3)) {
    case 0:
      out.shape = model::RodShape::steady;
      out.peak = peak;
      features.insert("steady");
      break;
    case 1:
      out.shape = model::RodShape::over_centre;
      out.peak = peak;
      out.friction = peak * draw.between(0.05, 0.9);
      features.insert("over_centre");
      break;
    default:
      out.shape = model::RodShape::table;
      out.x = {0};
      for (std::size_t left = 1 + draw.below(5); left > 0; --left) {
        out.x.push_back(out.x.back() + (stroke - out.x.back()) * draw.between(0.1, 0.8));
      }
      out.x.push_back(stroke * (draw.chance(0.5) ? 1.0 : draw.between(1.001, 1.2)));
      for (std::size_t k = 0; k < out.x.size(); ++k) out.force.push_back(peak * draw.between(-0.6, 1));
      features.insert("table");
  }
  return out;
}

/// N: what the door's motor can hold at standstill, everything at ambient and only this door driven.
double standing_force(const model::Job& job, const model::Actuator& part, const sim::Condition& at) {
  const double cold = std::exp(part.motor.cold_stiffening_per_K * std::max(0.0, 25 - at.ambient_C));
  const double ohm = part.motor.resistance + part.ptc.resistance + job.supply.internal_ohm + 0.15;
  const double current = std::max(0.0, at.voltage_V - part.motor.brush_drop) / ohm;
  const double torque = part.motor.torque_constant * current - part.motor.friction * cold;
  const double rod_per_rad = part.drive.lead / (2 * std::numbers::pi * part.drive.gear_ratio);
  return std::max(1.0, part.drive.efficiency * torque / rod_per_rad);
}

void draw_condition(Draw& draw, StudyCase& out, model::Job& job) {
  out.at.voltage_V = draw.between(11.5, 15.5);
  job.supply.internal_ohm = draw.around(4e-3, 40e-3);
  if (draw.chance(0.2)) {
    out.features.insert("weak supply");
    out.at.voltage_V = draw.between(4, 10);
    job.supply.internal_ohm = draw.around(0.05, 0.6);
  }
  switch (draw.below(3)) {
    case 0:
      out.at.ambient_C = draw.between(-40, 0);
      out.features.insert("cold");
      break;
    case 1:
      out.at.ambient_C = draw.between(50, 90);
      out.features.insert("hot");
      break;
    default:
      out.at.ambient_C = draw.between(10, 35);
  }
  job.climate.cold_C = draw.between(-40, -10);
  if (draw.chance(0.25)) {
    job.feed.other_load_A = draw.around(1, 40);
    out.features.insert("other load");
  }
  out.at.after_trip = draw.chance(0.25);
  if (out.at.after_trip) out.features.insert("after_trip");
  if (draw.chance(0.2)) {
    out.at.ptc_scale = draw.chance(0.5) ? 0.75 : 1.25;
    out.features.insert("thermistor tolerance");
  }
  job.feed.length = draw.between(0.3, 8);
  job.feed.ground_ohm = draw.between(0, 20e-3);
}

void draw_door(Draw& draw, StudyCase& out, const model::Job& job, const model::Actuator& part,
               model::Door& door) {
  door.branch_length = draw.between(0.2, 8);
  door.joints_ohm = draw.between(0, 40e-3);
  door.stroke = draw.between(8e-3, 28e-3);
  if (draw.chance(0.2)) {
    door.fuse = job.feed.fuse;
    out.features.insert("branch fuse");
  }
  const double most = standing_force(job, part, out.at);
  const auto peak = [&] {
    return std::min(900.0, most * (draw.chance(0.1) ? draw.between(0.8, 1.6) : draw.between(0, 0.7)));
  };
  door.rod_force = rod_force(draw, peak(), door.stroke, out.features);
  if (draw.chance(0.4)) {
    door.rod_force_unlock = rod_force(draw, peak(), door.stroke, out.features);
    out.features.insert("rod_force_unlock");
  }
}

void draw_plan(Draw& draw, StudyCase& out, std::size_t index) {
  const std::size_t turn = index % 5;
  out.verb = turn == 0   ? StudyCase::Verb::stall
             : turn == 2 ? StudyCase::Verb::first_throw
                         : StudyCase::Verb::cycles;
  out.plan.on_s = draw.chance(0.1) ? draw.around(0.02, 8) : draw.around(0.15, 1.5);
  out.plan.gap_s = draw.chance(0.1) ? 0 : draw.around(0.2, 6);
  out.plan.cycles = out.verb == StudyCase::Verb::first_throw ? 1 : 10;
  out.plan.want_recovery = out.verb == StudyCase::Verb::cycles;
  // Some go on past the lockout, with doors that no longer move beside others that do.
  out.plan.on_through = out.verb == StudyCase::Verb::first_throw || draw.chance(0.2);
  if (out.plan.on_through && out.plan.cycles > 1) out.features.insert("going on through missed throws");
  if (draw.chance(0.2)) out.limit_s = draw.around(1, 100);
}

}  // namespace

StudyCase random_study(std::uint64_t seed, std::size_t index) {
  Draw draw(Draw(seed).bits() ^ Draw(index + 1).bits());
  StudyCase out;
  out.name = fmt::format("seed {} study {}", seed, index);
  const double doors_draw = draw.between(0, 1);
  const std::size_t doors = doors_draw < 0.4    ? 1
                            : doors_draw < 0.65 ? 5
                                                : 2 + draw.below(sim::most_doors - 1);
  out.features.insert(doors == 1 ? "one door" : doors == 5 ? "five doors" : "other numbers of doors");
  model::Job job = worked_study(static_cast<int>(doors)).job;
  job.title = out.name;
  draw_plan(draw, out, index);
  draw_condition(draw, out, job);
  const auto worked = std::find_if(job.parts.begin(), job.parts.end(), [](const model::Part& part) {
    return std::holds_alternative<model::Actuator>(part.body);
  });
  model::Part part = *worked;
  job.parts.erase(worked);
  const bool all_alike = draw.chance(0.4);
  if (all_alike && doors > 1) out.features.insert("equal doors");
  for (std::size_t k = 0; k < doors; ++k) {
    if (k == 0 || !all_alike) {
      part.id = fmt::format("actuator-{}", k + 1);
      part.body = actuator(draw, out.features);
      job.parts.push_back(part);
      job.doors[k].actuator = part.id;
      draw_door(draw, out, job, std::get<model::Actuator>(part.body), job.doors[k]);
    } else {
      const std::string name = job.doors[k].name;
      job.doors[k] = job.doors[0];
      job.doors[k].name = name;
    }
  }
  if (doors > 1 && draw.chance(0.15)) {
    out.doors = {draw.below(doors)};
    out.features.insert("one door of several");
  }
  auto study = model::check_job(job, out.name, model::Catalogue());
  if (!study.ok()) throw std::runtime_error(out.name + " is no good job: " + study.issues().front().line());
  out.study = std::move(study.value());
  return out;
}

}  // namespace latchwright::tests
