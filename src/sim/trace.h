// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "sim/segment.h"

namespace latchwright::sim {

struct TraceSample {
  double time_s = 0;
  std::size_t door = 0;  ///< of the circuit
  double current_A = 0;
  double speed_rad_per_s = 0;
  double rod_m = 0;      ///< travel of the rod since the pulse began; past the door's stroke in the bump stop
  double winding_C = 0;  ///< the hottest coil where the part has one
  physics::Temperatures temperature_C{};
};

/// Records a study for tables and pictures: both ends of every pulse and rest, and between them no two
/// samples closer than a spacing. `growth`, for logarithmic times: inside the engine's steps nor closer than
/// this share of the time since the study began, and at the end of each, which are short where things change.
class TraceObserver final : public Observer {
 public:
  TraceObserver(const Circuit& circuit, double spacing_s, double growth = 0)
      : circuit_(circuit), spacing_s_(spacing_s), growth_(growth) {}

  void segment(const Segment& segment) override;
  void pulse_ended(double t, const State& full) override;
  const std::vector<TraceSample>& samples() const { return samples_; }

 private:
  void record(double t, const State& full);

  const Circuit& circuit_;
  double spacing_s_;
  double growth_;
  double last_s_ = -1e300;
  bool in_pulse_ = false;
  State state_;
  std::vector<TraceSample> samples_;
};

}  // namespace latchwright::sim
