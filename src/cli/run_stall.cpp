// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/console.h"
#include "cli/verbs.h"
#include "io/files.h"
#include "io/json.h"
#include "report/check_report.h"
#include "report/pictures.h"
#include "report/stall_report.h"
#include "report/trace_csv.h"

namespace latchwright::cli {

int run_stall(const Options& options, Plot& plot) {
  const auto job = load_for(options);
  if (!job) return exit_bad_input;
  const model::Study& study = job->study;
  report::StallReport report;
  report.title = study.job.title;
  report.at = {options.voltage_V.value_or(study.job.supply.usual_V),
               options.ambient_C.value_or(study.job.climate.usual_C)};
  report.limit_s = options.limit_s.value_or(600);
  report.after_trip = options.after_trip;
  report.other_load_A = study.job.feed.other_load_A;
  report.invented_parts = report::uses_invented_parts(study);
  for (std::size_t k = 0; k < study.doors.size(); ++k) {
    report.doors.push_back(study.job.doors[k].name);
    report.winding_fault_C.push_back(physics::winding_fault_limit_C(study.actuator(k).motor));
  }
  const sim::Circuit circuit = sim::make_circuit(
      study,
      {.voltage_V = report.at.voltage_V, .ambient_C = report.at.ambient_C, .after_trip = options.after_trip});
  sim::TraceObserver trace(circuit, report.limit_s / 1000);
  sim::Observers observers;
  if (!options.csv.empty()) observers.push_back(&trace);
  // The pictures' time is logarithmic: the first seconds want their own samples.
  sim::TraceObserver drawn(circuit, report::stall_spacing_s, report::stall_growth);
  if (plot.wanted()) observers.push_back(&drawn);
  {
    ConsoleProgress progress(options.quiet);
    report.stalls = sim::simulate_stall(circuit, report.limit_s, observers, progress);
  }
  if (!options.csv.empty()) {
    io::save_text(options.csv, report::trace_csv(trace.samples(), report.doors), options.force);
  }
  if (plot.wanted()) {
    plot.write({report::stall_temperatures(report, drawn.samples()),
                report::stall_current(report, drawn.samples())});
  }
  if (options.json) {
    print(io::write_json(report::stall_json(report)));
  } else if (!options.quiet) {
    print(report::stall_text(report, terminal_style()));
  }
  return exit_good;
}

}  // namespace latchwright::cli
