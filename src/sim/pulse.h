// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <optional>

#include "sim/drive_system.h"

namespace latchwright::sim {

/// Error control of the engine: chosen so that the figures of docs/model.md section 9 are met with a wide margin.
inline constexpr double absolute_tolerance = 2e-7;
inline constexpr double relative_tolerance = 2e-8;

/// Runs pulses on one circuit. Holds work space only; what lasts between pulses is the doors' temperatures.
class PulseEngine {
 public:
  explicit PulseEngine(const Circuit& circuit);

  /// One pulse of all doors of the circuit. temperatures: heat_nodes per door, taken and left as they are at the
  /// pulse's end. start_s: the study's time when it begins, for the observers. Returns each door's arrival in
  /// seconds from the pulse's start, none for a missed throw.
  const std::vector<std::optional<double>>& run(std::vector<double>& temperatures, double start_s, double on_s,
                                                bool unlocking, const Observers& observers);

 private:
  const Circuit& circuit_;
  DriveSystem drive_;
  Solver drive_solver_;
  Solver wait_solver_;
  State full_;
};

/// All nodes of all doors at ambient.
std::vector<double> ambient_temperatures(const Circuit& circuit);

}  // namespace latchwright::sim
