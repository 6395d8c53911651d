// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "cli/options.h"
#include "cli/plot.h"
#include "report/spread_report.h"

namespace latchwright::cli {

/// Writes and prints a spread as the options ask, whether run here or joined. Throws base::UsageError.
void give_out(const report::SpreadReport& report, const Options& options, Plot& plot);

}  // namespace latchwright::cli
