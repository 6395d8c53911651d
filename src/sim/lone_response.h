// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "sim/linear_door.h"

namespace latchwright::sim {

/// Increments of one door's current, speed and angle after any time, exact for its linear circuit: by its
/// modes. A shared resistance must already be added into the door's own.
///
/// All are combinations of g_q(h), the inverse Laplace transforms of 1/(s^q P(s)), P the characteristic
/// polynomial with its leading coefficient 1:
///   conducting and moving   P = (s + R/L) (s² + c/J s + k/J) + K²/(LJ) s; without k, a zero at 0 cancels
///   moving                  P = s² + c/J s + k/J; without k, s + c/J
///   conducting              P = s + R/L
/// A g_q is the divided difference, over the zeros of P, of the functions φ_q of exponential integrators (N.
/// J. Higham, Functions of Matrices, SIAM 2008, ch. 10.7.4 and B.16). They are found without differences
/// between close numbers: zeros below 1/h by the Taylor series, zeros above 1/(2h) from exponentials and the
/// recurrence P(d/dt) g_q = t^(q-1)/(q-1)!, and where there are both by Newton's formula between the two
/// groups, which lie apart. So double and vanishing zeros need no exception.
///   accuracy  1e-12 of the largest that an increment has been within the time, after each kind of push; of
///             a current beside a spring that tips over and has grown e^100 times, 1e-11
///   cost      one or two exponentials at most, or one sine and cosine
class LoneResponse {
 public:
  /// door: everything it needs until the next prepare. Resistance and damping at least 0; the stiffness may
  /// have either sign.
  void prepare(const LinearDoor& door);
  /// Increments h >= 0 seconds after the beginning. A door that does not conduct ignores volts, one that does
  /// not move torque and speed.
  void solve(const Push& push, double h, Increment& out) const;

  /// What does not just decay: the frequency of an oscillation, rad/s, and the rate of a growth, 1/s; 0 where
  /// there is none.
  struct Turning {
    double swing = 0, growth = 0;
  };
  Turning turning() const;

 private:
  /// Two zeros of P: s² + linear s + constant.
  struct Pair {
    double linear = 0, constant = 0;           // 1/s, 1/s²
    double mean = 0, spread_2 = 0;             // the zeros are mean ± sqrt(spread_2)
    double spread = 0;                         // sqrt(|spread_2|), 1/s
    double farther_zero = 0, nearer_zero = 0;  // where they are real
    double farthest = 0, nearest = 0;          // their distances from 0, 1/s
  };
  struct Modes;  // what is computed with zeros

  // degree: 0 for pushes that stay, 2 for all.
  template <int degree>
  void solve_current(const Push& push, double h, Increment& out) const;
  template <int degree>
  void solve_rotor(const Push& push, double h, Increment& out) const;
  template <int degree>
  void solve_both(const Push& push, double h, Increment& out) const;
  template <int degree>
  void solve_any(const Push& push, double h, Increment& out) const;

  bool conducting_ = false, moving_ = false, stiff_ = false;
  bool all_real_ = false;          // three modes
  double per_inductance_ = 0;      // 1/L
  double per_inertia_ = 0;         // 1/J
  double coupling_ = 0;            // K/(LJ)
  double electric_ = 0;            // R/L
  double friction_ = 0;            // c/J
  double spring_ = 0;              // k/J
  double stiffness_ = 0;           // k
  double free_constant_ = 0;       // (R c + K²)/(LJ)
  std::array<double, 3> cubic_{};  // P of three modes: constant first
  double single_ = 0;              // the zero of one mode; of three, that which lies farthest from the others
  Pair pair_;                      // the others
  double farthest_ = 0, nearest_ = 0, middle_ = 0;  // distances of three zeros from 0, 1/s
  // The same three, where all are real, by their distance from 0.
  double first_ = 0, last_ = 0;
  Pair slow_;  // without the first, the fastest
  Pair fast_;  // without the last
};

}  // namespace latchwright::sim
