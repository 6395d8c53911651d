// SPDX-License-Identifier: GPL-3.0-or-later
#include "choose/current_log.h"

#include <cmath>

namespace latchwright::choose {

void CurrentLog::segment(const sim::Segment& segment) {
  const double length = segment.end() - segment.begin();
  if (!segment.driven()) {
    stretches_.push_back({length, false});
    return;
  }
  // The engine's steps are short wherever the current bends; the checks themselves take twice as many.
  constexpr int pieces = 2;
  std::vector<double> last;
  for (int k = 0; k <= pieces; ++k) {
    segment.at(segment.begin() + length * k / pieces, state_);
    samples_.resize(state_.size() / sim::slots);
    last.resize(samples_.size());
    for (std::size_t door = 0; door < samples_.size(); ++door) {
      const double now = state_[door * sim::slots + sim::slot_current];
      if (k > 0) {
        samples_[door].push_back(last[door]);
        samples_[door].push_back(now);
      }
      last[door] = now;
    }
    if (k > 0) stretches_.push_back({length / pieces, true});
  }
}

double CurrentLog::current(std::optional<std::size_t> door, std::size_t sample) const {
  if (door) return samples_[*door][sample];
  double sum = 0;
  for (const auto& of_door : samples_) sum += of_door[sample];
  return sum;
}

double CurrentLog::rms_A(std::optional<std::size_t> door) const {
  double squares = 0, seconds = 0;
  std::size_t sample = 0;
  for (const Stretch& stretch : stretches_) {
    seconds += stretch.seconds;
    if (!stretch.driven) continue;
    const double from = current(door, sample), to = current(door, sample + 1);
    sample += 2;
    squares += (from * from + from * to + to * to) / 3 * stretch.seconds;
  }
  return seconds > 0 ? std::sqrt(squares / seconds) : 0;
}

double CurrentLog::quickest_y(const physics::FuseBounds& fuse, double ambient_C,
                              std::optional<std::size_t> door, double other_A) const {
  physics::QuickestFuse element = fuse.quickest(ambient_C);
  constexpr double for_long = 1e6;  // s
  if (other_A > 0) element.advance(other_A, for_long);
  std::size_t sample = 0;
  for (const Stretch& stretch : stretches_) {
    if (!stretch.driven) {
      element.advance(other_A, stretch.seconds);
      continue;
    }
    element.advance(current(door, sample) + other_A, current(door, sample + 1) + other_A, stretch.seconds);
    sample += 2;
  }
  return element.peak();
}

}  // namespace latchwright::choose
