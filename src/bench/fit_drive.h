// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Dense>
#include <array>
#include <optional>
#include <string>
#include <vector>

#include "base/progress.h"
#include "bench/log_reduction.h"
#include "model/parts.h"

namespace latchwright::bench {

/// What running free, a spring scale and a watch can tell, in this order; all as ratios to the part's.
enum DriveParameter : std::size_t { torque_constant, friction, efficiency, drive_parameters };

struct DriveFit {
  std::array<double, drive_parameters> ratio{1, 1, 1};
  std::array<bool, drive_parameters> identified{};
  std::array<double, drive_parameters> standard_error{};  ///< of the ratio
  Eigen::MatrixXd covariance;
  std::vector<double> zero_A;  ///< of the clamp, by free log
  std::vector<std::string> remarks;
};

/// What is measured beside the held logs. voltage_V: at which force and throw were read.
struct DriveReadings {
  std::vector<ReducedLog> free;
  std::optional<double> force_N, throw_s;
  double voltage_V = 0, ambient_C = 23;
};

/// Current of a motor that runs free and steadily: K i = friction + b w and v = V_b + R i + K w.
double free_current(const model::Actuator& actuator, double voltage_V, double ambient_C);

/// actuator: resistances as fitted. Throws base::Cancelled.
DriveFit fit_drive(const model::Actuator& actuator, const model::PtcCurve& curve,
                   const DriveReadings& readings, base::Progress& progress);
/// The actuator with these ratios.
model::Actuator with_ratios(model::Actuator actuator, const std::array<double, drive_parameters>& ratio);

}  // namespace latchwright::bench
