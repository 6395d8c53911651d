// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "cli/options.h"
#include "model/catalogue.h"

namespace latchwright::cli {

struct BenchPart {
  model::Catalogue catalogue;
  model::PartPtr part;  ///< an actuator
};

/// The actuator that a verb of the bench names, options.part_ids' only one; faults go to standard error, one
/// line each with the nearest known actuator, and the result is empty.
std::optional<BenchPart> bench_part(const Options& options);

}  // namespace latchwright::cli
