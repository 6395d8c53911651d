// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "base/failure.h"
#include "base/text.h"
#include "bench/fit.h"
#include "cli/console.h"
#include "cli/verbs.h"
#include "io/bench_log.h"
#include "io/files.h"
#include "io/json.h"
#include "model/part_fields.h"
#include "report/fit_report.h"

namespace latchwright::cli {

namespace {

/// Reads every log; faults of all of them go to standard error.
bool read_logs(const std::vector<std::string>& paths, std::vector<model::BenchLog>& logs) {
  bool good = true;
  for (const auto& path : paths) {
    auto log = io::read_bench_log(path);
    if (log.ok()) {
      logs.push_back(std::move(log.value()));
      continue;
    }
    for (const auto& issue : log.issues()) complain(issue.line() + "\n");
    good = false;
  }
  return good;
}

const model::Part& like_part(const model::Catalogue& catalogue, const std::string& id) {
  const auto* entry = catalogue.find_entry(id);
  if (entry == nullptr || !std::holds_alternative<model::Actuator>(entry->part->body)) {
    const auto known = catalogue.ids_of("actuator");
    const std::string near = base::nearest_word(id, known);
    throw base::UsageError(fmt::format("--like: there is no actuator \"{}\"{}", base::printable(id),
                                       near.empty() ? "; latchwright parts --kind actuator lists them"
                                                    : "; did you mean \"" + near + "\"?"));
  }
  return *entry->part;
}

/// A fit may lead a figure out of what a part file permits: then it is no part.
void check_lawful(const model::Part& part) {
  model::ReadContext context{"measured part", {}};
  model::Part again;
  model::read_part(model::write_part(part), "", context, again);
  if (context.issues.empty()) model::check_part(again, "", context);
  if (!context.issues.empty()) {
    throw base::StudyError(
        fmt::format("the fitted part is not lawful, so nothing was written: {} ({} {} in all); is --like "
                    "near what was measured, and was the rod held?",
                    context.issues.front().line(), context.issues.size(),
                    context.issues.size() == 1 ? "fault" : "faults"));
  }
}

}  // namespace

int run_fit(const Options& options, Plot& plot) {
  std::vector<model::BenchLog> held, free;
  const bool held_good = read_logs(options.logs, held);
  const bool free_good = read_logs(options.free_logs, free);
  base::Issues left_out;
  const auto catalogue = options.skip_broken ? io::load_sound_catalogue(options.parts_files, left_out)
                                             : io::load_catalogue(options.parts_files);
  for (const auto& issue : left_out) complain(issue.line() + "\n");
  if (!catalogue.ok()) {
    for (const auto& issue : catalogue.issues()) complain(issue.line() + "\n");
  }
  if (!held_good || !free_good || !catalogue.ok()) return exit_bad_input;
  const model::Part& like = like_part(catalogue.value(), options.like);
  const auto& actuator = std::get<model::Actuator>(like.body);
  report::FitReport report;
  report.like = like.id;
  report.hand = {*options.ambient_C, options.cold_ohm, options.force_N, options.throw_s};
  {
    ConsoleProgress progress(options.quiet);
    report.fit = bench::fit_actuator(actuator, model::curve_of(actuator, catalogue.value()), held, free,
                                     report.hand, progress);
  }
  report.part = report::measured_part(report.fit, like, report.hand);
  check_lawful(report.part);
  if (!options.output.empty())
    io::save_text(options.output, io::write_json(report::parts_file(report.part)), options.force);
  if (!options.csv.empty()) io::save_text(options.csv, report::fit_csv(report), options.force);
  if (plot.wanted()) plot.write(report::fit_pictures(report));
  if (options.json) {
    print(io::write_json(report::fit_json(report)));
  } else if (!options.quiet) {
    print(report::fit_text(report));
    if (!options.output.empty()) {
      print(fmt::format("\nWrote {}: part {}, for use with --parts {}\n", options.output, report.part.id,
                        options.output));
    }
  }
  return exit_good;
}

}  // namespace latchwright::cli
