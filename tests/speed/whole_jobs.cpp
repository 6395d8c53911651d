// SPDX-License-Identifier: GPL-3.0-or-later
#include "speed/whole_jobs.h"

#include <chrono>
#include <limits>
#include <stdexcept>
#include <string>

#include "base/progress.h"
#include "io/files.h"
#include "io/json.h"
#include "report/check_report.h"
#include "sim/cycle.h"
#include "speed/search.h"
#include "support/studies.h"
#include "verdict/examine.h"

namespace latchwright::tests::speed {

namespace {

template <class Run>
double least_seconds(const Run& run, int times) {
  const int runs = runs_for(run);
  double least = std::numeric_limits<double>::infinity();
  for (int k = 0; k < times; ++k) least = std::min(least, seconds(run, runs));
  return least;
}

/// By the clock on the wall, which is what several workers shorten.
template <class Run>
double least_wait(const Run& run, int times) {
  using Clock = std::chrono::steady_clock;
  double least = std::numeric_limits<double>::infinity();
  for (int k = 0; k < times; ++k) {
    const auto begin = Clock::now();
    run();
    least = std::min(least, std::chrono::duration<double>(Clock::now() - begin).count());
  }
  return least;
}

model::Study estate() {
  const auto catalogue = io::load_catalogue({});
  if (!catalogue.ok()) throw std::runtime_error("the catalogue has faults");
  auto study = io::load_job(LATCHWRIGHT_SOURCE_DIR "/docs/examples/five-door-estate.json", catalogue.value());
  if (!study.ok()) throw std::runtime_error("the example has faults");
  return std::move(study.value());
}

sim::CycleResult cycles(const sim::Circuit& circuit, const sim::CyclePlan& plan) {
  base::NoProgress quiet;
  return sim::simulate_cycles(circuit, plan, {}, quiet);
}

}  // namespace

WholeJobs measure_whole_jobs() {
  WholeJobs out;
  const model::Study study = estate();
  std::string by_one, by_two;
  const auto check = [&](unsigned workers, std::string& result) {
    base::NoProgress quiet;
    const auto examination = verdict::examine(study, workers, quiet);
    result = io::write_json(report::check_json(study, examination, true));
  };
  out.check_1_s = least_wait([&] { check(1, by_one); }, 3);
  out.check_2_s = least_wait([&] { check(2, by_two); }, 3);
  out.identical = by_one == by_two;

  sim::CyclePlan plan;
  plan.cycles = 200;
  plan.on_s = study.job.pulse.on_s;
  plan.gap_s = study.job.use.gap_s;
  plan.on_through = true;
  const auto circuit = sim::make_circuit(study, {12.6, study.job.climate.usual_C});
  const int pulses = cycles(circuit, plan).pulses;
  out.pulses_per_s = pulses / least_seconds([&] { cycles(circuit, plan); }, 3);

  plan.on_s = 0.7;
  plan.gap_s = 20;
  for (const int doors : {1, 2, 3, 5, 8, 12}) {
    const auto equal = worked_circuit({12.6, 23}, doors);
    const double time = least_seconds([&] { cycles(equal, plan); }, 3);
    out.doors.push_back({doors, time / (doors * plan.cycles)});
  }
  return out;
}

}  // namespace latchwright::tests::speed
