// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "base/failure.h"
#include "base/text.h"
#include "base/worker_pool.h"
#include "cli/console.h"
#include "cli/verbs.h"
#include "io/files.h"
#include "io/json.h"
#include "model/job_fields.h"
#include "report/map_report.h"
#include "report/spread_pictures.h"

namespace latchwright::cli {

namespace {

/// A range in order and within what a job may hold.
void check_range(const char* from_name, double from, const char* to_name, double to,
                 const model::FieldInfo& info) {
  const auto outside = [&](const char* name, double value) {
    if (value >= info.low && value <= info.high) return;
    throw base::UsageError(fmt::format("{}: {} is outside the permitted range ({})", name,
                                       base::exact_text(value), model::range_text(info)));
  };
  outside(from_name, from);
  outside(to_name, to);
  if (from >= to) {
    throw base::UsageError(fmt::format("{}: {} is not below {}, the end of the range ({})", from_name,
                                       base::exact_text(from), base::exact_text(to), to_name));
  }
}

spread::MapPlan plan_of(const model::Study& study, const Options& options) {
  const bool over_gap = options.over != "on";
  if (over_gap && options.gap_s) {
    throw base::UsageError("--gap: this map spans rests, --from to --to; it goes with --over on");
  }
  if (!over_gap && options.on_s) {
    throw base::UsageError("--on: this map spans pulses, --from to --to; it goes with --over gap");
  }
  auto plan = spread::usual_map(study, over_gap ? spread::MapAxis::gap : spread::MapAxis::on);
  plan.voltage_V = options.voltage_V.value_or(plan.voltage_V);
  plan.ambient_from_C = options.from_ambient_C.value_or(plan.ambient_from_C);
  plan.ambient_to_C = options.to_ambient_C.value_or(plan.ambient_to_C);
  plan.on_s = options.on_s.value_or(plan.on_s);
  plan.gap_s = options.gap_s.value_or(plan.gap_s);
  plan.from_s = options.from_s.value_or(plan.from_s);
  plan.to_s = options.to_s.value_or(plan.to_s);
  plan.cycles = options.cycles.value_or(spread::wanted_from(study.job, plan.ambient_from_C));
  // NOLINTNEXTLINE(clang-analyzer-core.NullDereference): both keys are rows of their tables.
  const auto& permitted =
      over_gap ? model::use_table().find("gap_s")->info : model::pulse_table().find("on_s")->info;
  // Left out, the shortest pulse is the shortest that throws, which is lawful.
  const double from_s = over_gap || options.from_s ? plan.from_s : permitted.low;
  check_range("--from", from_s, "--to", plan.to_s, permitted);
  // A job may have one ambient only.
  if (options.from_ambient_C || options.to_ambient_C) {
    check_range("--from-ambient", plan.ambient_from_C, "--to-ambient", plan.ambient_to_C,
                model::climate_table().find("usual_C")->info);
  }
  return plan;
}

}  // namespace

int run_map(const Options& options, Plot& plot) {
  const auto job = load_for(options);
  if (!job) return exit_bad_input;
  const model::Study& study = job->study;
  const spread::MapPlan plan = plan_of(study, options);
  spread::LockoutMap map;
  {
    ConsoleProgress progress(options.quiet);
    map = spread::make_map(study, plan, base::available_workers(), progress);
  }
  if (!options.csv.empty()) io::save_text(options.csv, report::map_csv(map), options.force);
  if (plot.wanted()) plot.write(report::map_pictures(study, map));
  if (options.json) {
    print(io::write_json(report::map_json(map)));
  } else if (!options.quiet) {
    print(report::map_text(study, map, terminal_style()));
  }
  return exit_good;
}

}  // namespace latchwright::cli
