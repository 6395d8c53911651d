// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "base/failure.h"
#include "base/worker_pool.h"
#include "cli/console.h"
#include "cli/spread_options.h"
#include "cli/spread_outputs.h"
#include "cli/verbs.h"
#include "report/check_report.h"

namespace latchwright::cli {

namespace {

spread::SpreadPlan plan_of(const Options& options, const model::Job& job) {
  spread::SpreadPlan plan;
  plan.voltage_V = options.voltage_V.value_or(job.supply.usual_V);
  plan.ambient_C = options.ambient_C.value_or(job.climate.usual_C);
  const bool hot = plan.ambient_C >= job.climate.hot_C;
  plan.cycles = options.cycles.value_or(hot ? job.use.hot_cycles : job.use.cycles);
  plan.on_s = options.on_s.value_or(job.pulse.on_s);
  plan.gap_s = options.gap_s.value_or(job.use.gap_s);
  plan.samples = options.samples.value_or(plan.samples);
  plan.seed = static_cast<std::uint64_t>(options.seed.value_or(static_cast<std::int64_t>(plan.seed)));
  if (!options.slice.empty()) plan.slice = slice_of(options.slice).value();
  if (plan.slice.of > plan.samples) {
    throw base::UsageError(
        fmt::format("--slice: {} slices of {} samples leave some empty", plan.slice.of, plan.samples));
  }
  return plan;
}

}  // namespace

int run_spread(const Options& options, Plot& plot) {
  const auto job = load_for(options);
  if (!job) return exit_bad_input;
  report::SpreadReport report;
  report.title = job->study.job.title;
  report.invented_parts = report::uses_invented_parts(job->study);
  {
    ConsoleProgress progress(options.quiet);
    report.tally =
        spread::run_spread(job->study, plan_of(options, job->study.job), base::available_workers(), progress);
  }
  if (report.tally.done == 0) throw base::Cancelled();
  report.result = spread::conclude(report.tally);
  give_out(report, options, plot);
  if (spread::finished(report.result)) return exit_good;
  if (options.json || options.quiet) {
    complain(fmt::format("latchwright: stopped after {} of {} samples\n", report.result.done,
                         report.result.wanted_done));
  }
  return exit_cancelled;
}

}  // namespace latchwright::cli
