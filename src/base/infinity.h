// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <limits>

namespace latchwright::base {

/// "Never", of a time; "without end", of a range.
inline constexpr double infinity = std::numeric_limits<double>::infinity();

}  // namespace latchwright::base
