// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "sim/segment.h"

// The right-hand sides of docs/model.md sections 2 to 4 for one door: the only place where they are put together.
namespace latchwright::sim {

/// Force of the rod and of the bump stop, N; 0 before the take-up is used.
double rod_force(const DoorCircuit& door, const DoorMode& mode, bool unlocking, double angle, double speed);

/// Torque of that force at the motor shaft, N·m: F s / eta against the motion, F s eta with it.
double load_torque(const DoorCircuit& door, double force);

/// Torque that holds a standing rotor back, N·m; it starts once K i exceeds this.
double holding_torque(const DoorCircuit& door, const DoorMode& mode, bool unlocking, double angle, const double* T);

/// Resistance from node to ground path: branch, winding, thermistor, ohm.
double door_resistance(const DoorCircuit& door, const double* T);

/// Heat rates of all nodes, K/s. gear_loss: W.
void heat_rates(const DoorCircuit& door, double ambient_C, double current, double speed, double gear_loss,
                const double* T, double* dTdt);

}  // namespace latchwright::sim
