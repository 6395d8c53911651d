// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>

#include "sim/segment.h"

// The right-hand sides of docs/model.md sections 2 to 4 for one door: the only place where they are put
// together. Inline, because every evaluation of every step goes through them.
namespace latchwright::sim {

/// Force of the rod and of the bump stop, N; 0 before the take-up is used.
inline double rod_force(const DoorCircuit& door, const DoorMode& mode, bool unlocking, double angle,
                        double speed) {
  if (!mode.taken_up) return 0;
  const double x = door.rod_per_rad * (angle - door.takeup_rad);
  double force = (unlocking ? door.unlock_load : door.lock_load).force(x);
  if (mode.arrived) {
    force +=
        std::max(0.0, door.stop_stiffness * (x - door.stroke) + door.stop_damping * door.rod_per_rad * speed);
  }
  return force;
}

/// Torque of that force at the motor shaft, N·m: F s / eta against the motion, F s eta with it.
inline double load_torque(const DoorCircuit& door, double force) {
  const double ideal = force * door.rod_per_rad;
  return force >= 0 ? ideal / door.efficiency : ideal * door.efficiency;
}

/// Torque that holds a standing rotor back, N·m; it starts once K i exceeds this.
inline double holding_torque(const DoorCircuit& door, const DoorMode& mode, bool unlocking, double angle,
                             const double* T) {
  return door.motor.friction(T[physics::housing]) +
         load_torque(door, rod_force(door, mode, unlocking, angle, 0));
}

/// A door's resistances at its temperatures T (heat_nodes of them), taken once for everything that needs them.
struct DoorOhms {
  double winding = 0;    ///< ohm
  double ptc = 0;        ///< ohm
  double ptc_per_K = 0;  ///< ohm/K
  double path = 0;       ///< from node to ground path: branch, winding, thermistor, ohm

  DoorOhms() = default;
  DoorOhms(const DoorCircuit& door, const double* T) : winding(door.motor.winding_ohm(T[physics::winding])) {
    const auto thermistor = door.ptc.resistance(T[physics::ptc]);
    ptc = thermistor.value;
    ptc_per_K = thermistor.slope;
    path = door.branch_ohm + winding + ptc;
  }
};

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

}  // namespace latchwright::sim
