// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/worker_pool.h"
#include "cli/console.h"
#include "cli/verbs.h"
#include "io/files.h"
#include "io/json.h"
#include "report/check_report.h"
#include "report/pictures.h"
#include "verdict/examine.h"

namespace latchwright::cli {

namespace {

/// Cures point into the file's doors, not into the chosen ones. A cure of a part's row may lie in a door.
void point_into_file(verdict::Rows& rows, const std::vector<std::size_t>& file_index) {
  for (auto& row : rows) {
    if (row.change) row.change->pointer = into_file(row.change->pointer, file_index);
    for (auto& cure : row.cures) cure.change.pointer = into_file(cure.change.pointer, file_index);
  }
}

}  // namespace

int run_check(const Options& options, Plot& plot) {
  auto job = load_for(options);
  if (!job) return exit_bad_input;
  verdict::Examination examination;
  {
    ConsoleProgress progress(options.quiet);
    examination = verdict::examine(job->study, base::available_workers(), progress);
  }
  if (!options.csv.empty()) {
    io::save_text(options.csv, report::check_csv(job->study, examination, options.all_corners), options.force);
  }
  if (plot.wanted()) plot.write({report::margins(job->study, examination.worst)});
  if (options.json) {
    // Text names the doors of the study instead.
    point_into_file(examination.all, job->file_index);
    point_into_file(examination.worst, job->file_index);
    print(io::write_json(report::check_json(job->study, examination, options.all_corners)));
  } else if (!options.quiet) {
    print(report::check_text(job->study, examination, options.all_corners, terminal_style()));
  }
  return examination.pass ? exit_good : exit_fails;
}

}  // namespace latchwright::cli
