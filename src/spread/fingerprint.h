// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "model/study.h"
#include "spread/spread_tally.h"
#include "spread/uncertain.h"

namespace latchwright::spread {

/// 32 hexadecimal digits of everything that a study's samples follow from: the job but for its title, notes
/// and list of parts, the parts in use, the sources of scatter, the plan but for its slice.
std::string fingerprint(const model::Study& study, const std::vector<Uncertain>& sources,
                        const SpreadPlan& plan);

}  // namespace latchwright::spread
