// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <limits>

#include "base/tables.h"
#include "model/job.h"

namespace latchwright::physics {

/// Force of the rod against the actuator over its travel (docs/model.md section 3).
///   law     steady; over-centre friction + (peak - friction) sin(2 pi x / S); or a table with straight
///   lines,
///           all times the cold factor's share at this ambient
///   sign    positive: against the motion; over-centre holds its ends outside 0 <= x <= stroke, a table its
///   own
class RodLoad {
 public:
  RodLoad(const model::RodForce& force, double stroke, double ambient_C, double cold_C);

  /// The same force everywhere.
  bool steady() const { return shape_ == model::RodShape::steady; }
  /// N at x metres.
  double force(double x) const {
    if (shape_ == model::RodShape::steady) return peak_;
    return varying_force(x);
  }

  /// Force and slope (N/m) at x, how far ahead the law stays smooth (the next kink, infinity without one),
  /// and whether it is curved on the way.
  struct Piece {
    double force, slope, until;
    bool curved = false;
  };
  Piece piece(double x) const {
    if (shape_ == model::RodShape::steady) return {peak_, 0, std::numeric_limits<double>::infinity()};
    return varying_piece(x);
  }

  /// What the load takes between a <= b, J: the integral of the force.
  double work(double a, double b) const;

  /// Largest force over the travel, N; may be negative where the lock helps everywhere.
  double largest() const { return largest_; }

 private:
  double varying_force(double x) const;
  Piece varying_piece(double x) const;

  model::RodShape shape_;
  double stroke_;
  double peak_;
  double friction_;
  base::LinearTable table_;
  double largest_;
};

/// 1 + (cold_factor - 1) clamp((23 - T_a) / (23 - cold_C), 0, 1); 1 where cold_C is not below 23 degC.
double cold_multiplier(double cold_factor, double ambient_C, double cold_C);

}  // namespace latchwright::physics
