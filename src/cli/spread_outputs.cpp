// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/spread_outputs.h"

#include <fmt/format.h>

#include "cli/console.h"
#include "io/files.h"
#include "io/json.h"
#include "report/spread_pictures.h"

namespace latchwright::cli {

void give_out(const report::SpreadReport& report, const Options& options, Plot& plot) {
  if (!options.csv.empty()) io::save_text(options.csv, report::spread_csv(report.result), options.force);
  if (!options.output.empty())
    io::save_text(options.output, io::write_json(report::spread_json(report)), options.force);
  if (plot.wanted()) plot.write(report::spread_pictures(report.result, report.title, report.invented_parts));
  if (options.json) {
    print(io::write_json(report::spread_json(report)));
  } else if (!options.quiet) {
    print(report::spread_text(report, terminal_style()));
    if (!options.output.empty()) print(fmt::format("\nWrote {}.\n", options.output));
  }
}

}  // namespace latchwright::cli
