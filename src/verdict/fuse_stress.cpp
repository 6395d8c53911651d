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

void FuseStress::rest(double seconds) {
  seconds_ += seconds;
  fuse_.advance(other_A_, seconds);
}

void FuseStress::pulse(const std::vector<sim::State>& samples, double seconds) {
  seconds_ += seconds;
  const double piece = seconds / static_cast<double>(samples.size() - 1);
  double from = current(samples.front());
  for (std::size_t k = 1; k < samples.size(); ++k) {
    const double to = current(samples[k]);
    fuse_.advance(from + other_A_, to + other_A_, piece);
    square_sum_ += (from * from + from * to + to * to) / 3 * piece;
    from = to;
  }
}

double FuseStress::rms_A() const { return seconds_ > 0 ? std::sqrt(square_sum_ / seconds_) : 0; }

void FuseStresses::segment(const sim::Segment& segment) {
  const double length = segment.end() - segment.begin();
  if (!segment.driven()) {
    for (FuseStress& fuse : fuses_) fuse.rest(length);
    return;
  }
  // Straight pieces between samples; the engine's steps are short wherever the current bends.
  for (std::size_t k = 0; k < samples_.size(); ++k) {
    segment.at(segment.begin() + length * static_cast<double>(k) / static_cast<double>(samples_.size() - 1),
               samples_[k]);
  }
  for (FuseStress& fuse : fuses_) fuse.pulse(samples_, length);
}

}  // namespace latchwright::verdict
