// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <utility>
#include <vector>

namespace latchwright::bench {

/// Values with their weights.
using Weighted = std::vector<std::pair<double, double>>;

/// The value below which a share p (0..1) of the weight lies; 0 where nothing has weight.
double quantile(Weighted values, double p);

}  // namespace latchwright::bench
