// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <string>

#include "model/measurement.h"
#include "model/parts.h"

// Logs as a clamp and a meter would have taken them, made by the engine: not by the fit's own model.
namespace latchwright::tests {

struct Logging {
  double rate_Hz = 50;
  double before_s = 1;   ///< logged before the power comes on; 0: begins with it
  double phase = 0.5;    ///< share of an interval between the last sample without power and power on
  double length_s = 80;  ///< with the power on
  double off_s = 0;      ///< then off for so long and on again for length_s; 0: not
  double noise_A = 0, noise_V = 0;
  double step_A = 0;    ///< of the reading; 0: none
  double zero_A = 0;    ///< of the clamp
  double clip_A = 1e9;  ///< the clamp's largest value
  double start_s = 0;   ///< the log's time at power on
  std::uint64_t seed = 1;
};

/// An actuator of the catalogue.
const model::Actuator& catalogue_actuator(const std::string& id);
const model::PtcCurve& catalogue_curve(const model::Actuator& actuator);

/// The curve so many kelvin higher, 1 at 25 °C.
model::PtcCurve shifted(const model::PtcCurve& curve, double kelvin);

model::BenchLog held_log(const model::Actuator& actuator, const model::PtcCurve& curve, double voltage_V,
                         double ambient_C, const Logging& logging);
/// Running free at a steady current.
model::BenchLog free_log(double current_A, double voltage_V, const Logging& logging);

}  // namespace latchwright::tests
