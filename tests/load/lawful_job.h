// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <cstdint>

#include "model/raw.h"

namespace latchwright::tests {

/// The share of places in which job `index` has numbers drawn.
double share_drawn(std::size_t index);

/// Job `index` of the set that a seed names, as a file would hold it: the worked case of docs/model.md
/// section 10 with one to twelve doors, each number replaced by any that its field table permits, in a share
/// of places that runs from none to all of them by index. Orders between numbers are put right; whether it is
/// lawful is for the checker to say.
model::Raw lawful_job(std::uint64_t seed, std::size_t index);

}  // namespace latchwright::tests
