// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/worker_pool.h"
#include "cli/console.h"
#include "cli/verbs.h"
#include "io/files.h"
#include "io/json.h"
#include "report/curves_report.h"
#include "report/pictures.h"

namespace latchwright::cli {

int run_curves(const Options& options, Plot& plot) {
  const auto job = load_for(options);
  if (!job) return exit_bad_input;
  const model::Study& study = job->study;
  const verdict::At usual{options.voltage_V.value_or(study.job.supply.usual_V),
                          options.ambient_C.value_or(study.job.climate.usual_C)};
  verdict::TimeCurrent picture;
  {
    ConsoleProgress progress(options.quiet);
    picture = verdict::trace_time_current(study, usual, base::available_workers(), progress);
  }
  if (!options.csv.empty()) io::save_text(options.csv, report::curves_csv(picture), options.force);
  if (plot.wanted()) plot.write({report::time_current(picture)});
  if (options.json) {
    print(io::write_json(report::curves_json(picture)));
  } else if (!options.quiet) {
    print(report::curves_text(study, picture, terminal_style()));
  }
  return exit_good;
}

}  // namespace latchwright::cli
