// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "model/study.h"
#include "report/picture.h"
#include "spread/map.h"
#include "spread/spread.h"

// Pictures of chances and of maps.
namespace latchwright::report {

/// Chance of a lockout over the number of cycles, the distributions, what each source of scatter does, what
/// halving it would bring; the last two only where there is something to draw. title: the job's.
std::vector<Picture> spread_pictures(const spread::SpreadResult& result, const std::string& title,
                                     bool invented_parts);

/// Where the wanted cycles are safe over ambient, with lines of half and twice as many; and cycles over rest
/// or pulse at a few ambients.
std::vector<Picture> map_pictures(const model::Study& study, const spread::LockoutMap& map);

}  // namespace latchwright::report
