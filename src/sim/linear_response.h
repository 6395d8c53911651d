// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>

#include "sim/circuit.h"
#include "sim/linear_door.h"

namespace latchwright::sim {

/// Increments of all doors' currents, speeds and angles after a given time, exact for the linear circuit
/// whatever its time constants: the Laplace transforms, which are impedances, are inverted on a fixed contour
/// (J. A. C. Weideman, L. N. Trefethen, T. Schmelzer, BIT 46 (2006) 653: cotangent contour, moved to the
/// right so that poles at 0 and moderate oscillation lie well inside).
///   accuracy  3e-8 of what a push that stays drives directly; each integration between them, and each degree
///             of the push, costs about 3.3 times more. So 6e-6 of any increment for real time constants of
///             any length, 2e-5 while h times the angular frequency of an oscillation, or h times a growth
///             rate, is at most 2 (`largest_turn`)
///   cost      proportional to the number of doors
class LinearResponse {
 public:
  static constexpr double largest_turn = 2.0;

  /// Points of the contour that a register of this processor takes at once: 2, 4 or 8.
  static int widest();
  /// width: at most widest(). No figure depends on it, to the last digit.
  explicit LinearResponse(int width = widest());

  /// doors: of the circuit; shared_ohm: what all of them have in common; h: s, above 0.
  void prepare(const LinearDoor* doors, std::size_t count, double shared_ohm, double h);
  /// Increments h after the beginning.
  void solve(const Push* pushes, Increment* out);

 private:
  // All points of the contour (their mirror images are implied) go through the formulas side by side, as many
  // at once as a register of the processor holds.
  static constexpr int lanes = 8;
  struct alignas(64) Lanes {
    double at[lanes];
  };
  struct Wave {  // complex numbers, one a point
    Lanes re, im;
  };
  struct Contour;
  template <class Register>
  struct Work;
  struct Formulas;

  struct Door {
    bool conducting, moving;
    double torque_constant, stiffness;
    Wave admittance, mobility;  // 1/Z, 1/D
  };
  const Formulas* formulas_;
  std::array<Door, most_doors> doors_;
  std::array<Wave, most_doors> current_, torque_;
  Wave shared_{};  // R_s / (1 + R_s sum of 1/Z)
  std::size_t count_ = 0;
  double h_ = 0;
};

}  // namespace latchwright::sim
