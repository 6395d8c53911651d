// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "model/parts.h"

// The laws of docs/model.md section 1 written a second time, for the reference solver alone.
namespace latchwright::tests::cvode {

/// A number that depends on one other, and its derivative.
struct Sloped {
  double value;
  double slope;
};

/// Copper's resistance over temperature, a straight line: `ohm` is given at `given_C`.
class Copper {
 public:
  Copper() = default;
  Copper(double ohm, double given_C);
  double at(double T_C) const { return at_zero_ + per_K_ * T_C; }
  double per_K() const { return per_K_; }

 private:
  double at_zero_ = 0, per_K_ = 0;
};

/// exp(g(T)) with g the monotone cubic through (T, ln ratio).
class RatioCurve {
 public:
  RatioCurve() = default;
  explicit RatioCurve(const model::PtcCurve& curve);

  Sloped log_at(double T_C) const;
  Sloped at(double T_C) const;
  double last_C() const { return T_.back(); }

 private:
  struct Piece {
    double c0, c1, c2, c3;
  };
  std::vector<double> T_;
  std::vector<Piece> pieces_;
  double first_ = 0, last_ = 0;
};

/// A: the largest steady current of a thermistor alone that loses W_per_K to the air, reached continuously
/// from 0 and short of the switch point (docs/model.md section 5). None: nothing in the table ends the climb.
/// 0: the air itself is at the switch point or above.
std::optional<double> hold_current(const RatioCurve& curve, double ohm_25, double W_per_K, double ambient_C);

}  // namespace latchwright::tests::cvode
