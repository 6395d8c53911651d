// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/peaks.h"

#include <algorithm>

namespace latchwright::sim {

void PeakFinder::take(double first, double middle, double last) {
  double peak = std::max({first, middle, last});
  // Parabola through (-1, first), (0, middle), (1, last): its top, where it is a top inside.
  const double bend = 0.5 * (first + last) - middle;
  const double slope = 0.5 * (last - first);
  if (bend < 0 && slope < -2 * bend && slope > 2 * bend) peak = std::max(peak, middle - slope * slope / (4 * bend));
  peak_ = seen_ ? std::max(peak_, peak) : peak;
  seen_ = true;
}

void PeakObserver::segment(const Segment& segment) {
  if (segment.driven()) {
    take(segment, segment.begin(), segment.end());
    return;
  }
  // Heat still spreads after the power is off. A peak comes early in the rest: slices grow from 1/1024 of it.
  double from = segment.begin();
  const double length = segment.end() - segment.begin();
  for (double part = 1.0 / 1024; part <= 1; part *= 2) {
    const double to = segment.begin() + part * length;
    take(segment, from, to);
    from = to;
  }
}

void PeakObserver::take(const Segment& segment, double begin, double end) {
  segment.at(begin, first_);
  segment.at(0.5 * (begin + end), middle_);
  segment.at(end, last_);
  for (std::size_t k = 0; k < doors_.size(); ++k) {
    const std::size_t base = k * slots;
    const auto take_slot = [&](PeakFinder& finder, std::size_t slot) {
      finder.take(first_[base + slot], middle_[base + slot], last_[base + slot]);
    };
    take_slot(doors_[k].current, slot_current);
    take_slot(doors_[k].ptc, slot_temperature + physics::ptc);
    const auto coil = [&](const State& state) {
      return circuit_.doors[k].heat.hottest_coil(state.data() + base + slot_temperature);
    };
    doors_[k].winding.take(coil(first_), coil(middle_), coil(last_));
  }
}

}  // namespace latchwright::sim
