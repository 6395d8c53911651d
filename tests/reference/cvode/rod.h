// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "model/job.h"

// The rod's force as smooth pieces over the motor's angle (docs/model.md section 3): a solver stops where one
// piece ends and starts afresh in the next.
namespace latchwright::tests::cvode {

struct RodPiece {
  double end = 0;        ///< rad of the motor; the last piece has no end
  bool loaded = false;   ///< beyond the take-up
  bool at_stop = false;  ///< beyond the stroke: the bump stop works
  double from = 0;       ///< rad, where offset and slope count from
  double offset = 0;     ///< N there
  double slope = 0;      ///< N/rad
  double swing = 0;      ///< N, of a sine beside them
  double per_rad = 0;    ///< phase of the sine per radian
  double sign = 1;       ///< of the force without the stop's part
};

struct RodForceValue {
  double force = 0, per_rad = 0, per_speed = 0;
};

/// One direction of one door.
class RodPieces {
 public:
  RodPieces() = default;
  RodPieces(const model::RodForce& force, const model::Drive& drive, double stroke, double cold_multiplier);

  const RodPiece& operator[](std::size_t k) const { return pieces_[k]; }
  bool last(std::size_t k) const { return k + 1 == pieces_.size(); }
  /// N with the stop's part; theta and w of the motor.
  RodForceValue at(std::size_t piece, double theta, double w) const;

 private:
  std::vector<RodPiece> pieces_;
  double rod_per_rad_ = 0, stop_from_ = 0, stiffness_ = 0, damping_ = 0;
};

}  // namespace latchwright::tests::cvode
