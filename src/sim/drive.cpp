// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/drive.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/failure.h"

namespace latchwright::sim {

namespace {

constexpr long most_transitions = 100'000;  // in one pulse
// Edges of events: what rounding leaves, far below what matters.
constexpr double start_edge = 1e-12;  // N·m
constexpr double halt_edge = 1e-6;    // rad/s
constexpr double turn_edge =
    1e-4;  // N: past 0 on either side, so that a load that only touches 0 turns once at most
constexpr double flow_edge = 1e-9;   // A
constexpr double drive_edge = 1e-5;  // V
constexpr double never = std::numeric_limits<double>::infinity();

}  // namespace

Drive::Drive(const Circuit& circuit)
    : circuit_(circuit),
      modes_(circuit.doors.size()),
      piece_from_m_(circuit.doors.size()),
      place_rad_(circuit.doors.size()),
      arrivals_(circuit.doors.size()) {
  base::require(circuit.doors.size() <= most_doors, "more doors than a job may have");
}

void Drive::begin_pulse(bool unlocking, State& x) {
  unlocking_ = unlocking;
  transitions_ = 0;
  for (std::size_t k = 0; k < modes_.size(); ++k) {
    modes_[k] = DoorMode{};
    arrivals_[k].reset();
    double* s = x.data() + k * slots;
    std::fill_n(s, slot_temperature, 0.0);
    place_rad_[k] = circuit_.doors[k].takeup_rad;
    if (place_rad_[k] <= 0) {
      modes_[k].taken_up = true;
      aim(k, 0, s);
    }
  }
  take_transitions(x, 0);
}

void Drive::resume(State& x, double t) {
  for (std::size_t k = 0; k < modes_.size(); ++k) {
    modes_[k].conducting = modes_[k].conducting || x[k * slots + slot_current] > 0;
  }
  take_transitions(x, t);
}

void Drive::aim(std::size_t k, double from_m, const double* s) {
  const DoorCircuit& door = circuit_.doors[k];
  DoorMode& mode = modes_[k];
  piece_from_m_[k] = from_m;
  const auto piece = door.load(unlocking_).piece(from_m);
  const double until = mode.arrived ? piece.until : std::min(piece.until, door.stroke);
  place_rad_[k] = until < never ? door.takeup_rad + until / door.rod_per_rad : never;
  double force = piece.force, slope = piece.slope;
  if (mode.arrived) {
    const double bump =
        door.stop_stiffness * (from_m - door.stroke) + door.stop_damping * door.rod_per_rad * s[slot_speed];
    force += std::max(0.0, bump);
    slope += door.stop_stiffness;
  }
  mode.helping = force < 0 || (force == 0 && slope < 0);
}

// docs/model.md (2.3)
double Drive::node_voltage(const State& x) const {
  double sum = 0;
  for (std::size_t k = 0; k < modes_.size(); ++k) sum += x[k * slots + slot_current];
  return circuit_.source_V - circuit_.shared_ohm * sum;
}

void Drive::at(const State& x, DrivePoint& point, bool resistances_known) const {
  point.node = node_voltage(x);
  for (std::size_t k = 0; k < modes_.size(); ++k) {
    const DoorCircuit& door = circuit_.doors[k];
    const double* s = x.data() + k * slots;
    const DoorOhms ohms = resistances_known ? point.doors[k].ohms : DoorOhms(door, s + slot_temperature);
    point.doors[k].set(door, modes_[k], unlocking_, circuit_.at.ambient_C, point.node, s, ohms);
  }
}

physics::RodLoad::Piece Drive::load_piece(const double* s, std::size_t k) const {
  if (!modes_[k].taken_up) return {0, 0, never};
  const DoorCircuit& door = circuit_.doors[k];
  return door.load(unlocking_).piece(std::max(piece_from_m_[k], rod_travel(door, s[slot_angle])));
}

void Drive::crossings(const State& x, const DrivePoint& point, Crossings& out) const {
  out.clear();
  double fall = 0;  // of the node voltage, V/s
  for (std::size_t k = 0; k < modes_.size(); ++k)
    fall += circuit_.shared_ohm * point.doors[k].rate[slot_current];
  for (std::size_t k = 0; k < modes_.size(); ++k) {
    const DoorMode& mode = modes_[k];
    const DoorPoint& p = point.doors[k];
    const double* s = x.data() + k * slots;
    const double w = s[slot_speed];
    if (mode.motion == Motion::held) {
      out.add({k, motion, p.torque_constant * s[slot_current] - p.holding,
               p.torque_constant * p.rate[slot_current], start_edge});
    } else if (mode.motion == Motion::moving) {
      out.add({k, motion, -w, -p.rate[slot_speed], halt_edge});
      if (place_rad_[k] < never) out.add({k, place, s[slot_angle] - place_rad_[k], w, 0});
      if (mode.taken_up) {
        const DoorCircuit& door = circuit_.doors[k];
        const auto piece = load_piece(s, k);
        double rate = piece.slope * door.rod_per_rad * w;
        if (mode.arrived) {
          rate += door.stop_stiffness * door.rod_per_rad * w +
                  door.stop_damping * door.rod_per_rad * p.rate[slot_speed];
        }
        // A steady load that resists never turns, nor does it with the bump stop on top.
        if (mode.helping || !door.load(unlocking_).steady() || (mode.arrived && piece.force < 0)) {
          const double sign = mode.helping ? 1 : -1;
          out.add({k, turn, sign * p.force - turn_edge, sign * rate, 0});
        }
      }
    }
    if (mode.conducting) {
      out.add({k, flow, -s[slot_current], -p.rate[slot_current], flow_edge});
    } else {
      out.add({k, flow, blocked_drive(s, k, point.node), -fall - p.torque_constant * p.rate[slot_speed],
               drive_edge});
    }
  }
}

void Drive::take(std::size_t k, Kind kind, State& x, double t) {
  const DoorCircuit& door = circuit_.doors[k];
  DoorMode& mode = modes_[k];
  double* s = x.data() + k * slots;
  switch (kind) {
    case motion:
      s[slot_speed] = 0;
      if (mode.motion == Motion::held) {
        mode.motion = Motion::moving;
      } else {
        mode.motion = mode.arrived ? Motion::stopped : Motion::held;
      }
      break;
    case place: {
      s[slot_angle] = place_rad_[k];
      if (!mode.taken_up) {
        mode.taken_up = true;
        aim(k, 0, s);
        break;
      }
      const auto piece = door.load(unlocking_).piece(piece_from_m_[k]);
      const bool at_stroke = !mode.arrived && piece.until >= door.stroke;
      if (at_stroke) {
        mode.arrived = true;
        arrivals_[k] = t;
      }
      aim(k, at_stroke ? door.stroke : piece.until, s);
      break;
    }
    case turn:
      mode.helping = !mode.helping;
      break;
    case flow:
      s[slot_current] = 0;
      mode.conducting = !mode.conducting;
      break;
  }
  if (++transitions_ > most_transitions) {
    throw base::StudyError(fmt::format("{} starts and halts without end at t = {:.6g} s of a pulse: {}",
                                       door.name, t, describe(x)));
  }
}

void Drive::take_transitions(State& x, double t) {
  for (bool changed = true; changed;) {
    changed = false;
    for (std::size_t k = 0; k < modes_.size(); ++k) {
      const double* s = x.data() + k * slots;
      const auto change = [&](Kind kind) {
        take(k, kind, x, t);
        changed = true;
      };
      const double drive = blocked_drive(s, k, node_voltage(x));
      if (modes_[k].conducting ? s[slot_current] <= 0 && drive < -drive_edge : drive > drive_edge)
        change(flow);
      if (modes_[k].motion == Motion::held && start_surplus(s, k) > 0) change(motion);
    }
  }
}

double Drive::blocked_drive(const double* s, std::size_t k, double node) const {
  const physics::MotorLaw& motor = circuit_.doors[k].motor;
  const double* T = s + slot_temperature;
  return node - motor.brush_drop - motor.torque_constant(T[physics::motor_case]) * s[slot_speed];
}

double Drive::start_surplus(const double* s, std::size_t k) const {
  const DoorCircuit& door = circuit_.doors[k];
  const double* T = s + slot_temperature;
  return door.motor.torque_constant(T[physics::motor_case]) * s[slot_current] -
         holding_torque(door, modes_[k], unlocking_, s[slot_angle], T);
}

bool Drive::any_moving() const {
  return std::any_of(modes_.begin(), modes_.end(),
                     [](const DoorMode& m) { return m.motion == Motion::moving; });
}

std::string Drive::describe(const State& x) const {
  std::string text;
  static constexpr const char* words[] = {"held", "moving", "stopped"};
  for (std::size_t k = 0; k < modes_.size(); ++k) {
    const double* s = x.data() + k * slots;
    text +=
        fmt::format("{}{} {}, {:.4g} A, {:.4g} rad/s, {:.4g} rad", k ? "; " : "", circuit_.doors[k].name,
                    words[static_cast<int>(modes_[k].motion)], s[slot_current], s[slot_speed], s[slot_angle]);
  }
  return text;
}

}  // namespace latchwright::sim
