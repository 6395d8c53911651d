// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/progress.h"
#include "model/measurement.h"
#include "model/parts.h"

namespace latchwright::bench {

struct FitParameter {
  std::string name;  ///< pointer within the part ("/motor/resistance_ohm"); "curve_shift_K"
  std::string unit;  ///< as in the part's file
  double value = 0;  ///< in that unit
  double prior = 0;  ///< of the part that it is like
  std::optional<double> standard_error;  ///< none where not identified
  bool identified = false;               ///< else the value is the prior's: the data do not tell
};

/// One log with what the fitted part gives for it.
struct FittedLog {
  std::string name;
  std::vector<double> time_s, measured_A, fitted_A;  ///< beside each other, from power on
  bool free_running = false;
};

struct Fit {
  model::Actuator actuator;  ///< the measured one, curve in place
  std::vector<FitParameter> parameters;
  std::vector<std::vector<double>> correlation;  ///< of the identified ones, in their order
  double residual_rms_A = 0;
  std::vector<FittedLog> logs;
  std::vector<std::string> remarks;  ///< what was noticed: clipping, resampling, outliers, wrong zero
  /// Why this is no measurement of the actuator: it does not describe the logs, or nothing is identified.
  /// Empty: it is one. Else the figures are only there to be looked at.
  std::vector<std::string> refused;
};

/// Fits the actuator that these logs are of, starting from one like it. held: rotor held, from power on;
/// free: running free. Bounded robust least squares from several starts, always the same. Throws
/// base::UsageError where a log cannot be used, base::StudyError where nothing follows them, and
/// base::Cancelled.
Fit fit_actuator(const model::Actuator& like, const model::PtcCurve& like_curve,
                 const std::vector<model::BenchLog>& held, const std::vector<model::BenchLog>& free,
                 const model::HandReadings& hand, base::Progress& progress);

}  // namespace latchwright::bench
