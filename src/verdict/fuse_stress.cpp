// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/fuse_stress.h"

#include <cmath>

namespace latchwright::verdict {

FuseStress::FuseStress(const physics::FuseBounds& bounds, double ambient_C, std::optional<std::size_t> door,
                       double other_A)
    : fuse_(bounds.quickest(ambient_C)), door_(door), other_A_(other_A) {
  constexpr double for_long = 1e6;  // s
  if (other_A_ > 0) fuse_.advance(other_A_, for_long);
}

double FuseStress::current(const sim::State& full) const {
  if (door_) return full[*door_ * sim::slots + sim::slot_current];
  double sum = 0;
  for (std::size_t k = sim::slot_current; k < full.size(); k += sim::slots) sum += full[k];
  return sum;
}

void FuseStress::segment(const sim::Segment& segment) {
  const double length = segment.end() - segment.begin();
  seconds_ += length;
  if (!segment.driven()) {
    fuse_.advance(other_A_, length);
    return;
  }
  // Straight pieces between samples; the engine's steps are short wherever the current bends.
  constexpr int pieces = 4;
  segment.at(segment.begin(), state_);
  double from = current(state_);
  for (int k = 1; k <= pieces; ++k) {
    segment.at(segment.begin() + length * k / pieces, state_);
    const double to = current(state_);
    fuse_.advance(from + other_A_, to + other_A_, length / pieces);
    square_sum_ += (from * from + from * to + to * to) / 3 * length / pieces;
    from = to;
  }
}

double FuseStress::rms_A() const { return seconds_ > 0 ? std::sqrt(square_sum_ / seconds_) : 0; }

}  // namespace latchwright::verdict
