// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "base/worker_pool.h"
#include "choose/size.h"
#include "cli/console.h"
#include "cli/verbs.h"
#include "io/files.h"
#include "io/json.h"
#include "report/size_report.h"

namespace latchwright::cli {

namespace {

/// The whole job of the file with a set filled in: doors that did not take part stay as they are.
model::Job filled(const LoadedJob& job, const choose::Pick& pick) {
  model::Job whole = job.whole;
  whole.feed = pick.set.study.job.feed;
  for (std::size_t k = 0; k < job.file_index.size(); ++k) {
    whole.doors[job.file_index[k]] = pick.set.study.job.doors[k];
  }
  return whole;
}

}  // namespace

int run_size(const Options& options) {
  refuse_pictures(options);
  const auto job = load_open_for(options);
  if (!job) return exit_bad_input;
  choose::SizeResult result;
  {
    ConsoleProgress progress(options.quiet);
    result = choose::size(job->study, base::available_workers(), progress);
  }
  if (!options.csv.empty()) io::save_text(options.csv, report::size_csv(result), options.force);
  const bool passes = !result.picks.empty();
  if (passes && !options.output.empty()) {
    io::save_text(options.output, io::write_json(model::write_job(filled(*job, result.picks.front()))),
                  options.force);
  }
  if (options.json) {
    print(io::write_json(report::size_json(job->study, result)));
  } else if (!options.quiet) {
    print(report::size_text(job->study, result, terminal_style()));
    if (!options.output.empty()) {
      print(passes ? fmt::format("\nWrote {}. Next: latchwright check {}\n", options.output, options.output)
                   : fmt::format("\n{} was not written: no set passes.\n", options.output));
    }
  }
  return passes ? exit_good : exit_fails;
}

}  // namespace latchwright::cli
