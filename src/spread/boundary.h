// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "spread/map.h"

// Where along rests or pulses the wanted cycles just pass, at one ambient.
namespace latchwright::spread {

/// Less than this between two places on an axis, s or K, is rounding.
inline constexpr double axis_rounding = 1e-9;

/// The nearest whole time step.
double whole_step(double value_s);

/// One ambient's row of a map.
struct MapRow {
  const std::vector<double>& values_s;  ///< rising
  const std::vector<int>& cycles_done;  ///< beside them
  int cycles = 0;                       ///< wanted
};

/// Whether the wanted cycles are done with this rest or pulse; exact, and dear.
using Passes = std::function<bool(double value_s)>;

/// The shortest rest from which on everything that was counted passes, to a time step; none where all pass,
/// or where the longest does not.
std::optional<double> shortest_rest(const MapRow& row, const Passes& passes);

/// The longest pulse that passes, to a time step; none where none does, or where even the longest passes.
/// throws_from_s: the shortest pulse that ends a first throw. Between the columns beside a row's best one a
/// narrow run of pulses that pass is looked for where no column does.
std::optional<double> longest_pulse(const MapRow& row, std::optional<double> throws_from_s,
                                    const Passes& passes);

}  // namespace latchwright::spread
