// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "model/raw.h"

namespace latchwright::model {

/// Bodies of which typical run lengths are known: hatch, saloon, estate, van.
const std::vector<std::string>& known_bodies();

/// A job to begin with: 1 to most_doors doors of a known body, typical run lengths (common practice, no
/// source), every part still to be chosen, a fuse to be chosen in each door run from three doors up. As a
/// file holds it, with every default written out. Another body or number of doors is a fault of the program.
Raw starting_job(int doors, const std::string& body);

}  // namespace latchwright::model
