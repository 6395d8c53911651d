// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/peaks.h"

#include "sim/cubic.h"

namespace latchwright::sim {

using namespace physics;

void DoorPeaks::take(const HeatNetwork& heat, double h, const Segment::DoorEnds& e) {
  const auto thermistor = physics::ptc;
  ptc.take(
      Cubic{e.first_C[thermistor], e.first_rate[thermistor], e.last_C[thermistor], e.last_rate[thermistor], h}
          .largest());
  // The hottest coil is a weighted sum of nodes; so is its rate.
  winding.take(Cubic{heat.hottest_coil(e.first_C), heat.hottest_coil_rate(e.first_C, e.first_rate),
                     heat.hottest_coil(e.last_C), heat.hottest_coil_rate(e.last_C, e.last_rate), h}
                   .largest());
  current.take(std::max(e.first_A, e.last_A));
}

void PeakObserver::segment(const Segment& segment) {
  if (!segment.driven()) {
    take_rest(segment);
    return;
  }
  const double h = segment.end() - segment.begin();
  for (std::size_t k = 0; k < doors_.size(); ++k) {
    DoorPeaks& door = doors_[k];
    door.take(circuit_.doors[k].heat, h, segment.door_ends(k));
    door.current.take(segment.largest_current(k, door.current.value()));
  }
}

void PeakObserver::take_temperatures(std::size_t k, const State& state) {
  const double* T = state.data() + k * slots + slot_temperature;
  doors_[k].winding.take(circuit_.doors[k].heat.hottest_coil(T));
  doors_[k].ptc.take(T[ptc]);
}

void PeakObserver::take_rest(const Segment& segment) {
  segment.at(segment.begin(), rest_);
  bool any = false;
  for (std::size_t k = 0; k < doors_.size(); ++k) {
    take_temperatures(k, rest_);
    const double* T = rest_.data() + k * slots + slot_temperature;
    const auto& heat = circuit_.doors[k].heat;
    // Heat still spreads, but no node gets hotter than all that is hotter than it can make it.
    const auto bound = [&](HeatNode node) {
      double joules = 0;
      for (std::size_t n = 0; n < heat_nodes; ++n) {
        const double capacity = heat.capacity(static_cast<HeatNode>(n));
        if (capacity > 0 && T[n] > T[node]) joules += capacity * (T[n] - T[node]);
      }
      return T[node] + joules / heat.capacity(node);
    };
    const double around = std::max({bound(motor_case), bound(housing), circuit_.at.ambient_C});
    double armature = std::max(T[winding], bound(motor_case));
    if (heat.split()) armature = std::max(armature, T[core]);
    any = any || around > doors_[k].ptc.value() || armature > doors_[k].winding.value();
  }
  if (!any) return;
  // A peak comes early in the rest: places grow from 1/1024 of it.
  const double h = segment.end() - segment.begin();
  for (double u = 1.0 / 1024; u <= 1; u *= 1.2) {
    segment.at(segment.begin() + u * h, rest_);
    for (std::size_t k = 0; k < doors_.size(); ++k) take_temperatures(k, rest_);
  }
}

}  // namespace latchwright::sim
