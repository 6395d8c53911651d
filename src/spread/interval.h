// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>

#include "spread/spread.h"

namespace latchwright::spread {

/// `count` of `of` samples as a chance, with the interval of Clopper and Pearson (docs/model.md section 14).
/// level: of the interval, above 0 and below 1. Without samples: anything.
Chance chance_of(std::int64_t count, std::int64_t of, double level = 0.95);

}  // namespace latchwright::spread
