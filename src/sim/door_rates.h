// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <limits>

#include "sim/segment.h"

// The right-hand sides of docs/model.md sections 2 to 4 for one door: the only place where they are put
// together. Inline, because every evaluation of every step goes through them.
namespace latchwright::sim {

/// docs/model.md (3.5).
/// Torque of a force at the motor shaft, N·m: F s / eta against the motion, F s eta with it.
inline double load_torque(const DoorCircuit& door, double force) {
  const double ideal = force * door.rod_per_rad;
  return force >= 0 ? ideal / door.efficiency : ideal * door.efficiency;
}

/// m, docs/model.md (3.1).
inline double rod_travel(const DoorCircuit& door, double angle) {
  return door.rod_per_rad * (angle - door.takeup_rad);
}

/// Force of the rod and of the bump stop, N, docs/model.md (3.4); 0 before the take-up is used.
inline double rod_force(const DoorCircuit& door, const DoorMode& mode, bool unlocking, double angle,
                        double speed) {
  if (!mode.taken_up) return 0;
  const double x = rod_travel(door, angle);
  double force = door.load(unlocking).force(x);
  if (mode.arrived) {
    force +=
        std::max(0.0, door.stop_stiffness * (x - door.stroke) + door.stop_damping * door.rod_per_rad * speed);
  }
  return force;
}

/// Torque that holds a standing rotor back, N·m; it starts once K i exceeds this.
inline double holding_torque(const DoorCircuit& door, const DoorMode& mode, bool unlocking, double angle,
                             const double* T) {
  return door.motor.friction(T[physics::housing]) +
         load_torque(door, rod_force(door, mode, unlocking, angle, 0));
}

/// A door's resistances at its temperatures T (heat_nodes of them), taken once for everything that needs
/// them.
struct DoorOhms {
  double winding = 0;    ///< ohm
  double ptc = 0;        ///< ohm
  double ptc_per_K = 0;  ///< ohm/K
  double path = 0;       ///< from node to ground path: branch, winding, thermistor, ohm
  double ptc_C = 0;      ///< thermistor's temperature, degC

  DoorOhms() = default;
  DoorOhms(const DoorCircuit& door, const double* T) : winding(door.motor.winding_ohm(T[physics::winding])) {
    const auto thermistor = door.ptc.resistance(T[physics::ptc]);
    ptc = thermistor.value;
    ptc_per_K = thermistor.slope;
    path = door.branch_ohm + winding + ptc;
    ptc_C = T[physics::ptc];
  }

  /// The same at other temperatures T; where these are near, the thermistor's slope carries it there.
  DoorOhms at(const DoorCircuit& door, const double* T) const {
    constexpr double near_K = 1e-3;  // over which ohms bend by less than 1e-6 of themselves
    const double change = T[physics::ptc] - ptc_C;
    if (!(std::fabs(change) < near_K)) return DoorOhms(door, T);
    DoorOhms near = *this;
    near.winding = door.motor.winding_ohm(T[physics::winding]);
    near.ptc += ptc_per_K * change;
    near.path = door.branch_ohm + near.winding + near.ptc;
    near.ptc_C = T[physics::ptc];
    return near;
  }
};

/// docs/model.md (4.1): what is put in.
/// Heat rates of all nodes, K/s. bearing_loss, gear_loss: W, 0 at standstill.
inline void heat_rates(const DoorCircuit& door, double ambient_C, const DoorOhms& ohms, double current,
                       double bearing_loss, double gear_loss, const double* T, double* dTdt) {
  double heat[physics::heat_nodes];
  const double square = current * current;
  heat[physics::winding] = ohms.winding * square;
  heat[physics::core] = 0;
  heat[physics::motor_case] = door.motor.brush_drop * current + bearing_loss;
  heat[physics::ptc] = ohms.ptc * square;
  heat[physics::housing] = gear_loss;
  door.heat.rates(T, heat, ambient_C, dTdt);
}

/// One driven door at one state: its rates by docs/model.md (2.4), (3.6), and what they are made of.
struct DoorPoint {
  DoorOhms ohms;
  double torque_constant = 0;                                   ///< N·m/A
  double friction = 0;                                          ///< N·m
  double housing_C = std::numeric_limits<double>::quiet_NaN();  ///< at which the friction was taken, degC
  double force = 0;                                             ///< rod and bump stop, N
  double holding = 0;                                           ///< friction and load at this speed, N·m
  std::array<double, slots> rate{};

  /// s: the door's slots of a full state; node: V; known: its resistances there.
  void set(const DoorCircuit& door, const DoorMode& mode, bool unlocking, double ambient_C, double node,
           const double* s, const DoorOhms& known) {
    const double* T = s + slot_temperature;
    const double i = s[slot_current], w = s[slot_speed];
    ohms = known;
    torque_constant = door.motor.torque_constant(T[physics::motor_case]);
    friction = door.motor.friction(T[physics::housing], friction, housing_C);
    housing_C = T[physics::housing];
    force = rod_force(door, mode, unlocking, s[slot_angle], w);
    // While it moves, the load keeps its side until the turn is an event; between its edges the sign would
    // part what a step assumes from what is true.
    const double load =
        mode.motion == Motion::moving && mode.taken_up
            ? force * door.rod_per_rad * (mode.helping ? door.efficiency : 1 / door.efficiency)
            : load_torque(door, force);
    holding = friction + load;
    double back_emf = 0, bearing_loss = 0, gear_loss = 0;
    rate[slot_current] = rate[slot_speed] = rate[slot_angle] = 0;
    if (mode.motion == Motion::moving) {
      const double drag = friction + door.motor.viscous * w;
      rate[slot_speed] = (torque_constant * i - drag - load) / door.motor.inertia;
      rate[slot_angle] = w;
      back_emf = torque_constant * w;
      const double forward = std::max(0.0, w);
      bearing_loss = drag * forward;
      gear_loss = std::fabs(load - force * door.rod_per_rad) * forward;
    }
    if (mode.conducting) {
      rate[slot_current] = (node - door.motor.brush_drop - ohms.path * i - back_emf) / door.motor.inductance;
    }
    heat_rates(door, ambient_C, ohms, i, bearing_loss, gear_loss, T, rate.data() + slot_temperature);
  }
};

}  // namespace latchwright::sim
