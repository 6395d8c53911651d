// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <CLI/CLI.hpp>

#include "cli/options.h"
#include "spread/spread_tally.h"

namespace latchwright::cli {

/// Samples, seed, slice, cycles, pulse and rest of the verb `spread`.
void add_spread_plan(CLI::App& spread, Options& options);
void add_join(CLI::App& app, Options& options);

/// "2/4" to slice 2 of 4; none where it is not that.
std::optional<spread::Slice> slice_of(const std::string& text);

}  // namespace latchwright::cli
