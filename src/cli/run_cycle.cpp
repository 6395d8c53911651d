// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <utility>

#include "cli/console.h"
#include "cli/verbs.h"
#include "io/files.h"
#include "io/json.h"
#include "report/check_report.h"
#include "report/cycle_report.h"
#include "report/pictures.h"
#include "report/trace_csv.h"

namespace latchwright::cli {

int run_cycle(const Options& options, Plot& plot) {
  const auto job = load_for(options);
  if (!job) return exit_bad_input;
  const model::Study& study = job->study;
  report::CycleReport report;
  report.title = study.job.title;
  report.at = {options.voltage_V.value_or(study.job.supply.usual_V),
               options.ambient_C.value_or(study.job.climate.usual_C)};
  report.plan = {.cycles = options.cycles.value_or(study.job.use.cycles),
                 .on_s = options.on_s.value_or(study.job.pulse.on_s),
                 .gap_s = options.gap_s.value_or(study.job.use.gap_s),
                 .on_through = options.on_through,
                 .want_recovery = true};
  report.after_trip = options.after_trip;
  report.other_load_A = study.job.feed.other_load_A;
  report.invented_parts = report::uses_invented_parts(study);
  for (std::size_t k = 0; k < study.doors.size(); ++k) {
    report.doors.push_back(study.job.doors[k].name);
    report.two_forces.push_back(study.job.doors[k].rod_force_unlock.has_value());
    report.winding_class_C.push_back(study.actuator(k).motor.winding_class_C);
  }
  const sim::Circuit circuit = sim::make_circuit(
      study,
      {.voltage_V = report.at.voltage_V, .ambient_C = report.at.ambient_C, .after_trip = options.after_trip});
  // A long study keeps fewer samples a pulse, so that its file stays readable.
  const int samples_a_pulse = std::clamp(20000 / report.plan.cycles, 10, 200);
  sim::TraceObserver trace(circuit, report.plan.on_s / samples_a_pulse);
  sim::Observers observers;
  if (!options.csv.empty() || plot.wanted()) observers.push_back(&trace);
  {
    ConsoleProgress progress(options.quiet);
    report.result = sim::simulate_cycles(circuit, report.plan, observers, progress);
  }
  if (!options.csv.empty()) {
    io::save_text(options.csv, report::trace_csv(trace.samples(), report.doors), options.force);
  }
  if (plot.wanted()) {
    std::vector<report::Picture> pictures{report::cycling_temperatures(report, trace.samples()),
                                          report::cycling_current(report, trace.samples())};
    if (auto rest = report::recovery(study, report, trace.samples())) pictures.push_back(std::move(*rest));
    plot.write(pictures);
  }
  if (options.json) {
    print(io::write_json(report::cycle_json(report)));
  } else if (!options.quiet) {
    print(report::cycle_text(report, terminal_style()));
  }
  return exit_good;
}

}  // namespace latchwright::cli
