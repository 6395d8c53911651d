// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "choose/size.h"

namespace latchwright::choose {

/// Margins that differ by less, relatively, are as good as each other.
inline constexpr double equal_margins = 0.005;

/// Whether a is the better set: fewer failing checks, the larger weakest margin (then the next ones), then
/// cheaper().
bool better(const Pick& a, const Pick& b, const std::vector<model::Place>& open);

/// The lower price where both have one, less copper (in steps of 5 %), fewer kinds of parts, then less
/// copper, ids.
bool cheaper(const Pick& a, const Pick& b, const std::vector<model::Place>& open);

}  // namespace latchwright::choose
