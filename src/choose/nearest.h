// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "choose/size.h"

namespace latchwright::choose {

/// Where no set passes: the one that comes nearest, what sinks it, and the smallest single change of the job
/// (pulse, rest, promised cycles, length of a run) with which all its checks pass. Smallest: the least
/// relative change.
NearestMiss nearest_miss(const Pick& nearest, const model::Study& study, unsigned workers,
                         base::Progress& progress);

}  // namespace latchwright::choose
