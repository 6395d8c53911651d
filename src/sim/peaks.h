// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <limits>
#include <vector>

#include "sim/segment.h"

namespace latchwright::sim {

/// Largest value of one figure along a study.
class Peak {
 public:
  void take(double value) { largest_ = std::max(largest_, value); }
  double value() const { return largest_; }

 private:
  double largest_ = -std::numeric_limits<double>::infinity();
};

struct DoorPeaks {
  Peak current;  ///< A
  Peak winding;  ///< degC, hottest coil where the part has one
  Peak ptc;      ///< degC

  /// Along a step of h seconds: temperatures by the nodes and their rates at both ends, the current at the
  /// ends.
  void take(const physics::HeatNetwork& heat, double h, const Segment::DoorEnds& ends);
};

/// Peaks of every door over a study: at the ends of its steps, and inside where they can be higher there.
class PeakObserver final : public Observer {
 public:
  explicit PeakObserver(const Circuit& circuit) : circuit_(circuit), doors_(circuit.doors.size()) {}
  void segment(const Segment& segment) override;
  bool takes_whole_steps() const override { return true; }
  const std::vector<DoorPeaks>& doors() const { return doors_; }

 private:
  void take_rest(const Segment& segment);
  void take_temperatures(std::size_t door, const State& state);

  const Circuit& circuit_;
  std::vector<DoorPeaks> doors_;
  State rest_;
};

}  // namespace latchwright::sim
