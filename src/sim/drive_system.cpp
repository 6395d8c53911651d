// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/drive_system.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/failure.h"

namespace latchwright::sim {

namespace {

// A rotor counts as halted, a current as blocked, just past zero: at zero itself both have only just begun.
constexpr double speed_edge = 1e-9;         // rad/s
constexpr double current_edge = 1e-12;      // A
constexpr long most_transitions = 100'000;  // in one pulse
// A standing door's current follows once L/R is below this and the current is this near what the resistance leaves.
// The energy that its inductance still trades, 1/2 L i², is then below 1e-5 of what the door takes in a pulse.
constexpr double quick_s = 5e-5;
constexpr double quick_nearness = 1e-4;
constexpr double quick_near_A = 1e-4;

bool is_moving(const DoorMode& mode) { return mode.motion == Motion::moving; }

}  // namespace

DriveSystem::DriveSystem(const Circuit& circuit)
    : circuit_(circuit),
      still_(circuit, true),
      modes_(circuit.doors.size()),
      quick_(circuit.doors.size()),
      quick_currents_(circuit.doors.size()),
      quick_ohms_(circuit.doors.size()),
      arrivals_(circuit.doors.size()) {}

void DriveSystem::begin_pulse(bool unlocking, State& x) {
  unlocking_ = unlocking;
  transitions_ = 0;
  any_quick_ = false;
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    modes_[k] = DoorMode{};
    modes_[k].taken_up = circuit_.doors[k].takeup_rad <= 0;
    quick_[k] = 0;
    arrivals_[k].reset();
    for (std::size_t slot = 0; slot < slot_temperature; ++slot) x[k * slots + slot] = 0;
  }
  take_transitions(x, 0);
}

void DriveSystem::resume(State& x, double t) {
  any_quick_ = false;
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    modes_[k].conducting = modes_[k].conducting || x[k * slots + slot_current] > 0;
    quick_[k] = 0;
  }
  take_transitions(x, t);
}

double DriveSystem::node_voltage(const State& x) const {
  double sum = 0;
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) sum += x[k * slots + slot_current];
  return circuit_.source_V - circuit_.shared_ohm * sum;
}

double DriveSystem::solve_currents(const State& x) const {
  if (!any_quick_) return node_voltage(x);
  double top = circuit_.source_V, bottom = 1;
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    const DoorCircuit& door = circuit_.doors[k];
    if (quick_[k]) {
      quick_ohms_[k] = DoorOhms(door, x.data() + k * slots + slot_temperature);
      top += circuit_.shared_ohm * door.motor.brush_drop / quick_ohms_[k].path;
      bottom += circuit_.shared_ohm / quick_ohms_[k].path;
    } else {
      top -= circuit_.shared_ohm * x[k * slots + slot_current];
    }
  }
  const double node = top / bottom;
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    if (quick_[k]) quick_currents_[k] = (node - circuit_.doors[k].motor.brush_drop) / quick_ohms_[k].path;
  }
  return node;
}

void DriveSystem::complete(State& x) const {
  solve_currents(x);
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) x[k * slots + slot_current] = current(x, k);
}

bool DriveSystem::is_ready_to_follow(const State& x, std::size_t k, double node) const {
  if (quick_[k] || modes_[k].motion == Motion::moving || !modes_[k].conducting) return false;
  const DoorCircuit& door = circuit_.doors[k];
  const double ohm = DoorOhms(door, x.data() + k * slots + slot_temperature).path;
  if (door.motor.inductance > quick_s * ohm) return false;
  const double left = (node - door.motor.brush_drop) / ohm;
  return left > 0 && std::fabs(x[k * slots + slot_current] - left) < quick_near_A + quick_nearness * left;
}

bool DriveSystem::let_quick_currents_follow(const State& x) {
  if (!any_moving()) return false;
  const double node = solve_currents(x);
  bool any = false;
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    if (!is_ready_to_follow(x, k, node)) continue;
    quick_[k] = 1;
    any = any_quick_ = true;
  }
  return any;
}

double DriveSystem::blocked_drive(const double* s, std::size_t k, double node) const {
  const physics::MotorLaw& motor = circuit_.doors[k].motor;
  const double* T = s + slot_temperature;
  return node - motor.brush_drop - motor.torque_constant(T[physics::motor_case]) * s[slot_speed];
}

double DriveSystem::start_surplus(const double* s, std::size_t k) const {
  return surplus_at(s, k, s[slot_current]);
}

double DriveSystem::surplus_at(const double* s, std::size_t k, double current) const {
  const DoorCircuit& door = circuit_.doors[k];
  const double* T = s + slot_temperature;
  return door.motor.torque_constant(T[physics::motor_case]) * current -
         holding_torque(door, modes_[k], unlocking_, s[slot_angle], T);
}

bool DriveSystem::any_moving() const {
  return std::any_of(modes_.begin(), modes_.end(), is_moving);
}

void DriveSystem::rates(const State& x, State& dxdt, double) {
  const double node = solve_currents(x);
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    const DoorCircuit& door = circuit_.doors[k];
    const double* s = x.data() + k * slots;
    double* d = dxdt.data() + k * slots;
    const double* T = s + slot_temperature;
    const DoorOhms ohms = quick_[k] ? quick_ohms_[k] : DoorOhms(door, T);
    const double i = current(x, k);
    double back_emf = 0, bearing_loss = 0, gear_loss = 0;
    if (modes_[k].motion == Motion::moving) {
      const double w = s[slot_speed];
      const double force = rod_force(door, modes_[k], unlocking_, s[slot_angle], w);
      const double load = load_torque(door, force);
      const double torque_constant = door.motor.torque_constant(T[physics::motor_case]);
      const double friction = door.motor.friction(T[physics::housing]) + door.motor.viscous * w;
      d[slot_speed] = (torque_constant * i - friction - load) / door.motor.inertia;
      d[slot_angle] = w;
      back_emf = torque_constant * w;
      bearing_loss = friction * std::max(0.0, w);
      gear_loss = std::fabs(load - force * door.rod_per_rad) * std::max(0.0, w);
    } else {
      d[slot_speed] = 0;
      d[slot_angle] = 0;
    }
    d[slot_current] = modes_[k].conducting && !quick_[k]
                          ? (node - door.motor.brush_drop - ohms.path * i - back_emf) / door.motor.inductance
                          : 0;
    heat_rates(door, circuit_.at.ambient_C, ohms, i, bearing_loss, gear_loss, T, d + slot_temperature);
  }
}

void DriveSystem::events(const State& x, double, double* g) {
  const double node = solve_currents(x);
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    const DoorCircuit& door = circuit_.doors[k];
    const DoorMode& mode = modes_[k];
    const double* s = x.data() + k * slots;
    double* e = g + k * events_per_door;
    e[0] = mode.motion == Motion::held     ? surplus_at(s, k, current(x, k))
           : mode.motion == Motion::moving ? -s[slot_speed] - speed_edge
                                           : -1;
    e[1] = mode.motion != Motion::moving || mode.arrived ? -1
           : !mode.taken_up                              ? s[slot_angle] - door.takeup_rad
                            : door.rod_per_rad * (s[slot_angle] - door.takeup_rad) - door.stroke;
    e[2] = mode.conducting ? -current(x, k) - current_edge : blocked_drive(s, k, node);
  }
}

void DriveSystem::take_transitions(State& x, double t) {
  for (bool changed = true; changed;) {
    changed = false;
    for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
      const DoorCircuit& door = circuit_.doors[k];
      DoorMode& mode = modes_[k];
      double* s = x.data() + k * slots;
      const auto step = [&] {
        changed = true;
        if (++transitions_ > most_transitions) {
          throw base::StudyError(fmt::format("{} starts and halts without end at t = {:.6g} s of a pulse: {}",
                                             door.name, t, describe(x)));
        }
      };
      if (mode.conducting && s[slot_current] <= 0) {
        s[slot_current] = 0;
        if (blocked_drive(s, k, node_voltage(x)) <= 0) {
          mode.conducting = false;
          quick_[k] = 0;
          step();
        }
      } else if (!mode.conducting && blocked_drive(s, k, node_voltage(x)) > 0) {
        mode.conducting = true;
        step();
      }
      if (mode.motion == Motion::moving) {
        if (s[slot_speed] < -speed_edge) {
          s[slot_speed] = 0;
          mode.motion = mode.arrived ? Motion::stopped : Motion::held;
          step();
        } else if (!mode.taken_up && s[slot_angle] >= door.takeup_rad) {
          mode.taken_up = true;
          step();
        } else if (mode.taken_up && !mode.arrived &&
                   door.rod_per_rad * (s[slot_angle] - door.takeup_rad) >= door.stroke) {
          mode.arrived = true;
          arrivals_[k] = t;
          step();
        }
      } else if (mode.motion == Motion::held && start_surplus(s, k) > 0) {
        mode.motion = Motion::moving;
        quick_[k] = 0;
        step();
      }
    }
  }
}

bool DriveSystem::settled(const State& x, double) {
  // Handing over costs the difference between the current and its standstill value. The solver itself leaves currents
  // uncertain by its tolerance (2e-6 A); these limits keep well clear of that and cost less than 1e-6 of a pulse's energy.
  constexpr double near = 1e-5, near_A = 1e-4, small_lag = 1e-3;
  const auto count_moving = std::count_if(modes_.begin(), modes_.end(), is_moving);
  if (count_moving == static_cast<std::ptrdiff_t>(modes_.size())) return false;
  const double node = solve_currents(x);
  if (count_moving > 0) {
    for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
      if (is_ready_to_follow(x, k, node)) return true;
    }
    return false;
  }
  still_.solve(x.data() + slot_temperature, slots, still_current_);
  if (still_.largest_lag() > small_lag) return false;
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    if (!quick_[k] && std::fabs(x[k * slots + slot_current] - still_current_[k]) >
        near_A + near * still_current_[k]) {
      return false;
    }
  }
  return true;
}

double DriveSystem::small_value(std::size_t slot) const {
  // A throw takes amperes, hundreds of rad/s, tens of rad: 1e-5 of that is small. Temperatures keep the solver's own.
  switch (slot % slots) {
    case slot_current:
      return 10;
    case slot_speed:
      return 1000;
    case slot_angle:
      return 100;
    default:
      return 1;
  }
}

std::string DriveSystem::describe(const State& x) const {
  std::string text;
  static constexpr const char* words[] = {"held", "moving", "stopped"};
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    const double* s = x.data() + k * slots;
    text +=
        fmt::format("{}{} {}, {:.4g} A, {:.4g} rad/s, {:.4g} rad", k ? "; " : "", circuit_.doors[k].name,
                    words[static_cast<int>(modes_[k].motion)], s[slot_current], s[slot_speed], s[slot_angle]);
  }
  return text;
}

}  // namespace latchwright::sim
