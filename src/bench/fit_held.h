// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "base/progress.h"
#include "bench/held_residuals.h"

namespace latchwright::bench {

/// What the held logs tell of the part.
struct HeldFit {
  HeldValues values{};  ///< 0 where kept
  std::array<bool, part_parameters> identified{};
  std::array<double, part_parameters> standard_error{};  ///< of the values: share of the part's figure, or K
  Eigen::MatrixXd covariance;               ///< of all part parameters, kept ones with their prior's
  double cold_ohm = 0, cold_ohm_error = 0;  ///< across the leads at ambient
  std::vector<double> power_on_s, power_again_s, zero_A;  ///< by log
  double residual_rms_A = 0;  ///< of one sample, whether it counts in the fit or not
  std::vector<std::string> remarks;
  std::vector<std::string> refused;  ///< why this does not describe the logs; empty: it does
};

/// How far a part's figure may be from that of the part it is like, for one that is kept: a standard
/// deviation, in the parameter's own scale.
extern const std::array<double, part_parameters> kept_sd;
/// A figure whose standard error is larger than this is kept at the like part's.
extern const std::array<double, part_parameters> largest_error;

/// Throws base::StudyError where no fit is found, and base::Cancelled.
HeldFit fit_held(HeldResiduals residuals, base::Progress& progress);

}  // namespace latchwright::bench
