// SPDX-License-Identifier: GPL-3.0-or-later
#include <limits>

#include "base/failure.h"
#include "base/text.h"
#include "cli/bench_part.h"
#include "cli/console.h"
#include "cli/option_values.h"
#include "cli/verbs.h"
#include "io/json.h"
#include "report/triage_report.h"

namespace latchwright::cli {

namespace {

/// The options as readings; their ranges and words were looked at when they were parsed.
bench::Readings readings_of(const Options& options) {
  const TriageOptions& given = options.triage;
  if (!given.used && (options.on_s || options.gap_s)) {
    throw base::UsageError("triage: --on and --gap are of the throws that --used counts; it is missing");
  }
  bench::Readings readings;
  if (is_open_line(given.leads)) {
    readings.leads_ohm = std::numeric_limits<double>::infinity();
  } else if (!given.leads.empty()) {
    readings.leads_ohm = base::number_in(given.leads);
  }
  if (given.meter_ohm && readings.leads_ohm && *readings.leads_ohm < *given.meter_ohm - bench::touch_ohm) {
    throw base::UsageError(
        "triage: --leads is far less than --meter; the meter's own leads are part of what it shows");
  }
  readings.meter_ohm = given.meter_ohm;
  readings.idle_min = given.idle_min;
  readings.used = given.used;
  readings.on_s = options.on_s.value_or(readings.on_s);
  readings.gap_s = options.gap_s.value_or(readings.gap_s);
  readings.ambient_C = options.ambient_C;
  readings.supply_V = given.supply_V;
  readings.current_A = given.current_A;
  if (!given.moves.empty()) {
    readings.moves = given.moves == "both"  ? bench::Moves::both
                     : given.moves == "one" ? bench::Moves::one
                                            : bench::Moves::neither;
  }
  if (!given.frees.empty()) readings.frees = given.frees == "yes";
  return readings;
}

}  // namespace

int run_triage(const Options& options) {
  report::TriageReport report;
  report.readings = readings_of(options);
  const auto named = bench_part(options);
  if (!named) return exit_bad_input;
  const auto& actuator = std::get<model::Actuator>(named->part->body);
  report.part_id = named->part->id;
  report.part_title = named->part->title;
  report.invented_part = named->part->source.kind == "invented";
  {
    ConsoleProgress progress(options.quiet);
    report.result =
        bench::triage(actuator, model::curve_of(actuator, named->catalogue), report.readings, progress);
  }
  if (options.json) {
    print(io::write_json(report::triage_json(report)));
  } else if (!options.quiet) {
    print(report::triage_text(report, terminal_style()));
  }
  return exit_good;
}

}  // namespace latchwright::cli
