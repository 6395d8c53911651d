// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "io/json.h"

namespace latchwright::tests {

/// A good JSON text as the readers see it.
inline model::Raw parsed(const std::string& text) { return io::parse_json(text, "test").value(); }

}  // namespace latchwright::tests
