// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/door_rates.h"

#include <algorithm>

namespace latchwright::sim {

using physics::heat_nodes;

double rod_force(const DoorCircuit& door, const DoorMode& mode, bool unlocking, double angle, double speed) {
  if (!mode.taken_up) return 0;
  const double x = door.rod_per_rad * (angle - door.takeup_rad);
  double force = (unlocking ? door.unlock_load : door.lock_load).force(std::clamp(x, 0.0, door.stroke));
  if (mode.arrived) {
    force += std::max(0.0, door.stop_stiffness * (x - door.stroke) + door.stop_damping * door.rod_per_rad * speed);
  }
  return force;
}

double load_torque(const DoorCircuit& door, double force) {
  const double ideal = force * door.rod_per_rad;
  return force >= 0 ? ideal / door.efficiency : ideal * door.efficiency;
}

double holding_torque(const DoorCircuit& door, const DoorMode& mode, bool unlocking, double angle, const double* T) {
  return door.motor.friction(T[physics::housing]) +
         load_torque(door, rod_force(door, mode, unlocking, angle, 0));
}

double door_resistance(const DoorCircuit& door, const double* T) {
  return door.branch_ohm + door.motor.winding_ohm(T[physics::winding]) + door.ptc.resistance(T[physics::ptc]).value;
}

void heat_rates(const DoorCircuit& door, double ambient_C, double current, double speed, double gear_loss,
                const double* T, double* dTdt) {
  double heat[heat_nodes];
  const double square = current * current;
  heat[physics::winding] = door.motor.winding_ohm(T[physics::winding]) * square;
  heat[physics::core] = 0;
  heat[physics::motor_case] =
      door.motor.brush_drop * current +
      (speed > 0 ? (door.motor.friction(T[physics::housing]) + door.motor.viscous * speed) * speed : 0.0);
  heat[physics::ptc] = door.ptc.resistance(T[physics::ptc]).value * square;
  heat[physics::housing] = gear_loss;
  door.heat.rates(T, heat, ambient_C, dTdt);
}

}  // namespace latchwright::sim
