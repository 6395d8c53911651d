// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "sim/segment.h"

namespace latchwright::sim {

/// Largest value of one figure along a study. Inside a step a parabola through both ends and the middle finds a
/// peak that falls between them.
class PeakFinder {
 public:
  void take(double first, double middle, double last);
  double peak() const { return peak_; }
  bool seen() const { return seen_; }

 private:
  double peak_ = 0;
  bool seen_ = false;
};

struct DoorPeaks {
  PeakFinder current;   ///< A
  PeakFinder winding;   ///< degC, hottest coil where the part has one
  PeakFinder ptc;       ///< degC
};

/// Peaks of every door over a study.
class PeakObserver final : public Observer {
 public:
  explicit PeakObserver(const Circuit& circuit) : circuit_(circuit), doors_(circuit.doors.size()) {}
  void segment(const Segment& segment) override;
  const std::vector<DoorPeaks>& doors() const { return doors_; }

 private:
  void take(const Segment& segment, double begin, double end);

  const Circuit& circuit_;
  std::vector<DoorPeaks> doors_;
  State first_, middle_, last_;
};

}  // namespace latchwright::sim
