// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/progress.h"
#include "sim/circuit.h"
#include "verdict/log_curve.h"

namespace latchwright::verdict {

/// Trip time of a lone door's thermistor over its stall current at once, each point a simulated stall of up
/// to an hour (docs/model.md section 7). The source's voltage is what gives the current; everything else is
/// as in `door`, which has one door. Swept up to `most_A` (A); `known_A`, where it trips, becomes a point of
/// its own. Only where the thermistor trips; upright at the left end if the smallest current that trips does
/// so before the hour. Empty if it never trips. Throws base::Cancelled.
Series trace_trip_curve(std::string name, const sim::Circuit& door, double most_A, double known_A,
                        const base::Progress& progress);

}  // namespace latchwright::verdict
