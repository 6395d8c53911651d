// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "base/worker_pool.h"
#include "choose/size.h"
#include "cli/console.h"
#include "cli/verbs.h"
#include "io/files.h"
#include "io/json.h"
#include "report/pictures.h"
#include "report/size_report.h"

namespace latchwright::cli {

namespace {

/// Whether all doors of the file take part.
bool takes_all(const LoadedJob& job) { return job.file_index.size() == job.whole.doors.size(); }

/// The whole job of the file with a set filled in: doors that did not take part stay as they are, and so do
/// feed, main fuse and relay then, which serve them too.
model::Job filled(const LoadedJob& job, const choose::Pick& pick) {
  model::Job whole = job.whole;
  if (takes_all(job)) whole.feed = pick.set.study.job.feed;
  for (std::size_t k = 0; k < job.file_index.size(); ++k) {
    whole.doors[job.file_index[k]] = pick.set.study.job.doors[k];
  }
  return whole;
}

std::string written_text(const LoadedJob& job, const Options& options, bool passes) {
  if (!passes) return fmt::format("\n{} was not written: no set passes.\n", options.output);
  if (takes_all(job))
    return fmt::format("\nWrote {}. Next: latchwright check {}\n", options.output, options.output);
  return fmt::format(
      "\nWrote {} with the doors that took part; feed, main fuse and relay serve the others too and stay "
      "as they were.\nNext: latchwright size {}\n",
      options.output, options.output);
}

/// The margins of the first set, or of the one that comes nearest.
void draw(const choose::SizeResult& result, const Options& options, Plot& plot) {
  if (!plot.wanted()) return;
  const choose::Pick* drawn = !result.picks.empty() ? &result.picks.front()
                              : result.nearest      ? &result.nearest->pick
                                                    : nullptr;
  if (drawn == nullptr) {
    complain(fmt::format("{} was not written: there is no set to draw\n", options.plot));
    return;
  }
  plot.write({report::margins(drawn->set.study, drawn->set.rows)});
}

}  // namespace

int run_size(const Options& options, Plot& plot) {
  const auto job = load_open_for(options);
  if (!job) return exit_bad_input;
  choose::SizeResult result;
  {
    ConsoleProgress progress(options.quiet);
    result = choose::size(job->study, base::available_workers(), progress);
  }
  if (!options.csv.empty()) io::save_text(options.csv, report::size_csv(result), options.force);
  draw(result, options, plot);
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
      print(written_text(*job, options, passes));
    }
  }
  return passes ? exit_good : exit_fails;
}

}  // namespace latchwright::cli
