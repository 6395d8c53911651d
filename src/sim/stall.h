// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "base/progress.h"
#include "sim/segment.h"

namespace latchwright::sim {

enum class LimitedBy { nothing, thermistor, winding };

struct DoorStall {
  double initial_current_A = 0;
  std::optional<double> trip_time_s;
  LimitedBy limited_by = LimitedBy::nothing;
  double final_current_A = 0;
  std::optional<double>
      hold_current_A;  ///< of its thermistor at this ambient; none: nothing in its table trips it
  double peak_winding_C = 0;
  bool beyond_table = false;
  physics::Temperatures final_C{};
  double final_winding_C = 0;  ///< what winding figures mean: the hottest coil where the part has one
};

/// All doors of the circuit held from t = 0 with the voltage on, without inductance (docs/model.md section
/// 5).
std::vector<DoorStall> simulate_stall(const Circuit& circuit, double limit_s, const Observers& observers,
                                      base::Progress& progress);

}  // namespace latchwright::sim
