// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>

namespace latchwright::sim {

/// One door's circuit and rotor, linear about a state: L di/dt = v - R i - K w, J dw/dt = K i - c w - k
/// angle.
struct LinearDoor {
  bool conducting = false;  ///< otherwise its current stays
  bool moving = false;      ///< otherwise its speed stays 0
  double inductance = 0;
  double resistance = 0;  ///< of its own path, without what all doors share
  double torque_constant = 0;
  double inertia = 0;
  double damping = 0;    ///< N·m·s
  double stiffness = 0;  ///< N·m/rad
};

/// What drives the increments of one door: volts and torque as polynomials in time, v0 + v1 t + v2 t², and
/// the speed at the beginning.
struct Push {
  std::array<double, 3> volts{};
  std::array<double, 3> torque{};
  double speed = 0;
};

/// What a door's current, speed and angle have gained since the beginning.
struct Increment {
  double current = 0, speed = 0, angle = 0;

  Increment& operator+=(const Increment& other) {
    current += other.current;
    speed += other.speed;
    angle += other.angle;
    return *this;
  }
};

}  // namespace latchwright::sim
