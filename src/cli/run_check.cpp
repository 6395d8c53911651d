// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "base/worker_pool.h"
#include "cli/console.h"
#include "cli/verbs.h"
#include "io/files.h"
#include "io/json.h"
#include "report/check_report.h"
#include "verdict/examine.h"

namespace latchwright::cli {

namespace {

/// Cures point into the file's doors, not into the chosen ones.
void point_into_file(verdict::Rows& rows, const std::vector<std::size_t>& file_index) {
  for (auto& row : rows) {
    if (!row.change || !row.door) continue;
    const std::string here = "/doors/" + std::to_string(*row.door) + "/";
    if (row.change->pointer.starts_with(here)) {
      row.change->pointer =
          "/doors/" + std::to_string(file_index[*row.door]) + "/" + row.change->pointer.substr(here.size());
    }
  }
}

}  // namespace

int run_check(const Options& options) {
  refuse_pictures(options);
  auto job = load_for(options);
  if (!job) return exit_bad_input;
  verdict::Examination examination;
  {
    ConsoleProgress progress(options.quiet);
    examination = verdict::examine(job->study, base::available_workers(), progress);
  }
  point_into_file(examination.all, job->file_index);
  point_into_file(examination.worst, job->file_index);
  if (!options.csv.empty()) {
    io::save_text(options.csv, report::check_csv(job->study, examination, options.all_corners), options.force);
  }
  if (options.json) {
    print(io::write_json(report::check_json(job->study, examination, options.all_corners)));
  } else if (!options.quiet) {
    print(report::check_text(job->study, examination, options.all_corners, terminal_style()));
  }
  return examination.pass ? exit_good : exit_fails;
}

}  // namespace latchwright::cli
