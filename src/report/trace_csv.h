// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "sim/trace.h"

namespace latchwright::report {

/// Time series of a study: `time_s,door,current_A,speed_rad_per_s,rod_mm,winding_C,case_C,ptc_C,housing_C`, one row a
/// sample and door. `door_names` by the circuit's doors.
std::string trace_csv(const std::vector<sim::TraceSample>& samples, const std::vector<std::string>& door_names);

/// A text as one CSV field (RFC 4180).
std::string csv_field(const std::string& text);

}  // namespace latchwright::report
