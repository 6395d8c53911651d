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
    complain_of(log.issues());
    good = false;
  }
  return good;
}

const model::Part& like_part(const model::Catalogue& catalogue, const std::string& id) {
  const auto* entry = catalogue.find_entry(id);
  if (entry != nullptr && std::holds_alternative<model::Actuator>(entry->part->body)) return *entry->part;
  if (entry != nullptr) {
    throw base::UsageError(
        fmt::format("--like: {} is of kind {}, not an actuator; latchwright parts --kind actuator "
                    "lists them",
                    entry->part->id, kind_of(*entry->part)));
  }
  const std::string near = base::nearest_word(id, catalogue.ids_of("actuator"));
  throw base::UsageError(fmt::format(
      "--like: there is no actuator \"{}\"{}", base::printable(id),
      near.empty() ? "; latchwright parts --kind actuator lists them" : "; did you mean \"" + near + "\"?"));
}

}  // namespace

int run_fit(const Options& options, Plot& plot) {
  std::vector<model::BenchLog> held, free;
  const bool held_good = read_logs(options.logs, held);
  const bool free_good = read_logs(options.free_logs, free);
  base::Issues left_out;
  const auto catalogue = options.skip_broken ? io::load_sound_catalogue(options.parts_files, left_out)
                                             : io::load_catalogue(options.parts_files);
  complain_of(left_out);
  if (!catalogue.ok()) complain_of(catalogue.issues());
  if (!held_good || !free_good || !catalogue.ok()) return exit_bad_input;
  const model::Part& like = like_part(catalogue.value(), options.like);
  const auto& actuator = std::get<model::Actuator>(like.body);
  const model::HandReadings hand{*options.ambient_C, options.cold_ohm, options.force_N, options.throw_s};
  bench::Fit fit;
  {
    ConsoleProgress progress(options.quiet);
    fit = bench::fit_actuator(actuator, model::curve_of(actuator, catalogue.value()), held, free, hand,
                              progress);
  }
  const report::FitReport report = report::make_fit_report(std::move(fit), like, hand);
  if (report.part && !options.output.empty())
    io::save_text(options.output, io::write_json(report::parts_file(*report.part)), options.force);
  if (!options.csv.empty()) io::save_text(options.csv, report::fit_csv(report), options.force);
  if (plot.wanted()) plot.write(report::fit_pictures(report));
  if (options.json) {
    print(io::write_json(report::fit_json(report)));
  } else if (!options.quiet) {
    print(report::fit_text(report));
    if (report.part && !options.output.empty()) {
      print(fmt::format("\nWrote {}: part {}, for use with --parts {}\n", options.output, report.part->id,
                        options.output));
    }
  }
  if (report.part) return exit_good;
  // Whoever does not read the text learns why here.
  for (const auto& reason : report.fit.refused) {
    if (!options.quiet && !options.json) break;
    complain(fmt::format("latchwright fit: {}\n", base::printable(reason, 600)));
  }
  complain(options.output.empty() ? "latchwright fit: this is no measurement of the actuator\n"
                                  : "latchwright fit: this is no measurement of the actuator; " +
                                        options.output + " was not written\n");
  return exit_unsolved;
}

}  // namespace latchwright::cli
