// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/fuse_stress.h"

#include <cmath>

namespace latchwright::verdict {

void FuseStress::add(const physics::FuseBounds& bounds, double ambient_C, std::optional<std::size_t> door,
                     double other_A) {
  fuses_.push_back({bounds.quickest(ambient_C), door, other_A});
  constexpr double for_long = 1e6;  // s
  if (other_A > 0) fuses_.back().element.advance(other_A, for_long);
}

double FuseStress::current(const sim::PerDoor<double>& doors, const Followed& fuse) {
  if (fuse.door) return doors[*fuse.door];
  double sum = 0;
  for (const double each : doors) sum += each;
  return sum;
}

// Drives docs/model.md (7.2), (7.4).
void FuseStress::segment(const sim::Segment& segment) {
  const double length = segment.end() - segment.begin();
  seconds_ += length;
  if (!segment.driven()) {
    for (Followed& fuse : fuses_) fuse.element.advance(fuse.other_A, length);
    return;
  }
  // Straight pieces between samples; the engine's steps are short wherever the current bends.
  for (int k = 0; k <= pieces; ++k) {
    segment.currents_at(segment.begin() + length * k / pieces, scratch_, currents_[k]);
  }
  for (Followed& fuse : fuses_) {
    double from = current(currents_[0], fuse);
    for (int k = 1; k <= pieces; ++k) {
      const double to = current(currents_[k], fuse);
      fuse.element.advance(from + fuse.other_A, to + fuse.other_A, length / pieces);
      fuse.square_sum += (from * from + from * to + to * to) / 3 * length / pieces;
      from = to;
    }
  }
}

double FuseStress::rms_A(std::size_t fuse) const {
  return seconds_ > 0 ? std::sqrt(fuses_[fuse].square_sum / seconds_) : 0;
}

}  // namespace latchwright::verdict
