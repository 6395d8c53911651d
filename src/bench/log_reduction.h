// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "model/measurement.h"

// A log as the fit takes it: signs put right, power on and off found, spikes left out, samples averaged
// where nothing changes.
namespace latchwright::bench {

/// Samples averaged into one; times count from the first sample with the power on.
struct Bin {
  double time_s = 0;        ///< mean of its samples
  double half_width_s = 0;  ///< from the mean to the first and last of them
  double edge_share =
      0;  ///< mean over the bin = (1 - 2 share) middle + share (both edges): same second moment
  double voltage_V = 0;  ///< mean
  double current_A = 0;  ///< mean
  double weight = 0;     ///< how many samples the current is of; 0: none, only the voltage counts
  bool on = false;       ///< power on
  bool clipped = false;  ///< current at the clamp's largest value: it was that much or more
  std::optional<double> case_C;
};

struct ReducedLog {
  std::string name;
  std::vector<Bin> bins;
  double on_s = 0;             ///< in the log's own time: first sample with the power on
  double before_on_s = 0;      ///< the power came on between so much before that and then
  double noise_A = 0;          ///< of one sample
  double step_A = 0;           ///< smallest difference of two readings; 0: as fine as it likes
  double on_voltage_V = 0;     ///< median with the power on
  double first_current_A = 0;  ///< just after power on, clamp's zero not taken off
  /// What the clamp reads without power, by the samples before power on and after it; none without any. Sign
  /// as the bins'.
  std::optional<double> zero_A;
  double zero_sd_A = 0;  ///< standard deviation of that; counts what a coarse reading hides
  bool flipped = false;  ///< current was negative throughout
  std::vector<std::string> remarks;
};

/// Above this the power is on, V.
inline constexpr double power_on_V = 1.5;
/// After power on: inductance and the motor's free motion up to the held rod; not compared.
inline constexpr double settle_s = 0.05;

/// So long after power on a held log is looked at: nothing that is sought shows later.
inline constexpr double longest_log_s = 1200;

/// How it was logged. A motor that runs free draws the same current all the time: that is no clamp at its
/// end.
enum class Rod { held, free };

/// Throws base::UsageError where the log holds too little or, of a held one, shows that it
/// is not what it is said to be: too coarse in time, columns swapped, voltage taken before the switch.
ReducedLog reduce_log(const model::BenchLog& log, Rod rod = Rod::held);

}  // namespace latchwright::bench
