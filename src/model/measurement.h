// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace latchwright::model {

/// A log from the bench, in SI units, samples in the order of time. Current and voltage are magnitudes as
/// logged; a missing sample is NaN.
struct BenchLog {
  std::string name;  ///< of the file, for messages and the part's source
  std::vector<double> time_s;
  std::vector<double> current_A;
  std::vector<double> voltage_V;  ///< at the actuator's leads
  std::vector<double> case_C;     ///< of the motor; empty where not logged
};

/// What was read by hand beside the logs.
struct HandReadings {
  double ambient_C = 23;
  std::optional<double> cold_ohm;  ///< across the leads, cold, the meter's leads taken off
  std::optional<double> force_N;   ///< spring scale at the rod, held at the logs' voltage, cold
  std::optional<double> throw_s;   ///< one unloaded throw at the logs' voltage, cold
};

}  // namespace latchwright::model
