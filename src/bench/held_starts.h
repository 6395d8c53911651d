// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "bench/held_residuals.h"

namespace latchwright::bench {

/// Seconds from power on to the first bin from which on, while the power stays on, the current is below half
/// the first; none where it is not reached, or ends above.
std::optional<double> half_current_s(const ReducedLog& log, const std::vector<double>& current_A,
                                     double first_A);

/// Where to begin: motor resistance by the first current, heat of the thermistor by the time of the trip, for
/// several guesses of what the trip alone does not tell. Always the same ones.
std::vector<Eigen::VectorXd> held_starts(const HeldResiduals& residuals);

}  // namespace latchwright::bench
