// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <CLI/CLI.hpp>

#include "cli/options.h"

// The verbs for one actuator on the bench.
namespace latchwright::cli {

void add_triage(CLI::App& app, Options& options);
void add_bench(CLI::App& app, Options& options);
void add_fit(CLI::App& app, Options& options);

}  // namespace latchwright::cli
