// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "sim/segment.h"

// The right-hand sides of docs/model.md sections 2 to 4 for one door: the only place where they are put
// together.
namespace latchwright::sim {

/// Force of the rod and of the bump stop, N; 0 before the take-up is used.
double rod_force(const DoorCircuit& door, const DoorMode& mode, bool unlocking, double angle, double speed);

/// Torque of that force at the motor shaft, N·m: F s / eta against the motion, F s eta with it.
double load_torque(const DoorCircuit& door, double force);

/// Torque that holds a standing rotor back, N·m; it starts once K i exceeds this.
double holding_torque(const DoorCircuit& door, const DoorMode& mode, bool unlocking, double angle,
                      const double* T);

/// A door's resistances at its temperatures T (heat_nodes of them), taken once for everything that needs
/// them.
struct DoorOhms {
  double winding = 0;    ///< ohm
  double ptc = 0;        ///< ohm
  double ptc_per_K = 0;  ///< ohm/K
  double path = 0;       ///< from node to ground path: branch, winding, thermistor, ohm

  DoorOhms() = default;
  DoorOhms(const DoorCircuit& door, const double* T);
};

/// Heat rates of all nodes, K/s. bearing_loss, gear_loss: W, 0 at standstill.
void heat_rates(const DoorCircuit& door, double ambient_C, const DoorOhms& ohms, double current,
                double bearing_loss, double gear_loss, const double* T, double* dTdt);

}  // namespace latchwright::sim
