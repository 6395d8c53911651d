// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "sim/trace.h"

namespace latchwright::report {

/// Time series of a study: `time_s,door,current_A,speed_rad_per_s,rod_mm,winding_C,case_C,ptc_C,housing_C`, one row a
/// sample and door. `door_names` by the circuit's doors.
std::string trace_csv(const std::vector<sim::TraceSample>& samples, const std::vector<std::string>& door_names);

/// Whether a spreadsheet would take a cell that begins so for a formula: =, +, -, @, a tab or a line end; the
/// wide forms of the first four count in Japanese settings.
bool begins_formula(std::string_view text);

/// A text as one CSV field (RFC 4180) that no spreadsheet takes for a formula: where it begins like one, an
/// apostrophe goes before it (OWASP, "CSV Injection"); also behind a semicolon or tab inside, where some
/// languages part the columns. Never for numbers: theirs is base::exact_text.
std::string csv_field(const std::string& text);

}  // namespace latchwright::report
