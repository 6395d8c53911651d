// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>

#include "model/raw.h"
#include "verdict/check_row.h"

namespace latchwright::report {

inline constexpr int result_format_version = 1;

/// The program's version as built.
std::string program_version();

/// What every result begins with: format version, verb, condition (null where the verb spans corners), and the
/// program's version and the settings that it ran with, so that a result explains itself.
model::Raw::Object result_head(const std::string& verb, const std::optional<verdict::At>& at,
                               model::Raw::Object settings);

/// A figure or null.
model::Raw figure(const std::optional<double>& value);
/// A figure that is infinite or NaN where it is absent, or null.
model::Raw figure(double value);
/// {"ambient_C", "voltage_V"} or null.
model::Raw at_raw(const std::optional<verdict::At>& at);

}  // namespace latchwright::report
