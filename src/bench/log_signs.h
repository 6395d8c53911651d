// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "bench/log_reduction.h"

// What a log shows by itself of not being that of an actuator held from power on.
namespace latchwright::bench {

/// Samples with their signs put right; on: power on. Throws base::UsageError with what was seen and what to
/// ask: samples too far apart or too few seconds (a unit of time), current without voltage (columns swapped),
/// voltage before current (taken ahead of the switch), a small current first (ran free before it was held).
void refuse_by_signs(const std::string& name, const std::vector<double>& time_s,
                     const std::vector<double>& current_A, const std::vector<double>& voltage_V,
                     const std::vector<bool>& on);

/// Throws base::UsageError where the same samples are given twice: a log counts once.
void refuse_same_logs(const std::vector<model::BenchLog>& held, const std::vector<model::BenchLog>& free);

/// Throws base::UsageError where the first current is far from cold_A, what the like part draws cold and
/// held.
void refuse_other_size(const ReducedLog& log, double cold_A, double zero_A);

/// Throws base::UsageError where a log that is said to be of a free run draws what a held rotor does.
void refuse_held_as_free(const ReducedLog& log, double cold_ohm, double brush_drop_V);

/// That the voltage stays while the current falls; empty where it sags or the current does not fall.
std::string no_sag_remark(const ReducedLog& log);

}  // namespace latchwright::bench
