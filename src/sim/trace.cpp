// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/trace.h"

#include <algorithm>

namespace latchwright::sim {

void TraceObserver::record(double t, const State& full) {
  last_s_ = t;
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    const double* s = full.data() + k * slots;
    const DoorCircuit& door = circuit_.doors[k];
    TraceSample sample;
    sample.time_s = t;
    sample.door = k;
    sample.current_A = s[slot_current];
    sample.speed_rad_per_s = s[slot_speed];
    sample.rod_m = std::max(0.0, door.rod_per_rad * (s[slot_angle] - door.takeup_rad));
    std::copy_n(s + slot_temperature, physics::heat_nodes, sample.temperature_C.begin());
    sample.winding_C = door.heat.hottest_coil(sample.temperature_C.data());
    samples_.push_back(sample);
  }
}

void TraceObserver::segment(const Segment& segment) {
  const auto sample_at = [&](double t) {
    segment.at(t, state_);
    record(t, state_);
  };
  if (!segment.driven()) {
    in_pulse_ = false;
    // A rest falls quickly at first: samples double their distance.
    const double length = segment.end() - segment.begin();
    for (double t = spacing_s_; t < length; t *= 1.5) sample_at(segment.begin() + t);
    sample_at(segment.end());
    return;
  }
  if (!in_pulse_) {
    in_pulse_ = true;
    sample_at(segment.begin());
  }
  const double length = segment.end() - segment.begin();
  const double spacing = std::max(spacing_s_, growth_ * segment.begin());
  if (length > spacing) {
    const auto pieces = static_cast<int>(std::min(1000.0, length / spacing)) + 1;
    for (int k = 1; k <= pieces; ++k) sample_at(segment.begin() + length * k / pieces);
  } else if (growth_ > 0 || segment.end() - last_s_ >= spacing) {
    sample_at(segment.end());
  }
}

void TraceObserver::pulse_ended(double t, const State& full) {
  if (last_s_ < t) record(t, full);
  in_pulse_ = false;
}

}  // namespace latchwright::sim
