// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string_view>

#include "model/field.h"

namespace latchwright::bench {

/// The row of what may be read by hand on the bench: unit, permitted range, meaning. The command line's
/// options and the window's fields are made of it. key: leads, meter, idle, used, on, gap, supply, current
/// (triage); cold, force, throw (fit). Throws base::InternalError for any other.
const model::FieldInfo& reading_field(std::string_view key);

}  // namespace latchwright::bench
