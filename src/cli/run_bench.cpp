// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/triage_members.h"
#include "cli/bench_part.h"
#include "cli/console.h"
#include "cli/verbs.h"
#include "io/files.h"
#include "io/json.h"
#include "report/bench_report.h"

namespace latchwright::cli {

int run_bench(const Options& options, Plot& plot) {
  const auto chosen = bench_part(options);
  if (!chosen) return exit_bad_input;
  const model::Part& part = *chosen->part;
  constexpr double usual_C = 23;
  report::BenchReport report;
  report.part = part.id;
  report.title = part.title;
  report.invented = part.source.kind == "invented";
  {
    ConsoleProgress progress(options.quiet);
    const auto& actuator = std::get<model::Actuator>(part.body);
    report.sheet = bench::make_sheet(actuator, model::curve_of(actuator, chosen->catalogue),
                                     options.ambient_C.value_or(usual_C),
                                     options.supply_V.value_or(bench::nominal_voltage(actuator)), progress);
  }
  if (!options.csv.empty()) io::save_text(options.csv, report::bench_csv(report), options.force);
  if (plot.wanted()) plot.write(report::bench_pictures(report));
  if (options.json) {
    print(io::write_json(report::bench_json(report)));
  } else if (!options.quiet) {
    print(report::bench_text(report, terminal_style()));
  }
  return exit_good;
}

}  // namespace latchwright::cli
