// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/sheet_findings.h"

#include <algorithm>
#include <functional>

#include "base/failure.h"
#include "base/worker_pool.h"
#include "model/tolerance.h"
#include "report/check_report.h"
#include "report/pictures.h"
#include "sim/lockout.h"
#include "sim/trace.h"

namespace latchwright::report {

namespace {

/// A stretch of a longer work.
class Stretch final : public base::Progress {
 public:
  Stretch(base::Progress& whole, double from, double to) : whole_(whole), from_(from), to_(to) {}
  void report(double fraction, std::string_view what) override {
    whole_.report(from_ + fraction * (to_ - from_), what);
  }
  bool cancelled() const override { return whole_.cancelled(); }

 private:
  base::Progress& whole_;
  double from_, to_;
};

/// The lockout check's worse row at this ambient, the first of equals.
const verdict::CheckRow& lockout_row(const verdict::Examination& examination, double ambient_C) {
  const verdict::CheckRow* found = nullptr;
  for (const auto& row : examination.all) {
    if (row.id != verdict::CheckId::lockout || row.at->ambient_C != ambient_C) continue;
    if (found == nullptr || verdict::worse(row, *found)) found = &row;
  }
  base::require(found != nullptr, "the lockout check looks at every ambient of the job");
  return *found;
}

UseInARow use_at(const model::Study& study, const verdict::Examination& examination, double ambient_C,
                 base::Progress& progress) {
  const verdict::CheckRow& row = lockout_row(examination, ambient_C);
  UseInARow use;
  use.at = *row.at;
  use.cycles = static_cast<int>(*row.have);
  use.wanted = static_cast<int>(*row.need);
  use.looked = sim::counted_times * use.wanted;
  const auto with = [&](double scale) {
    return sim::Condition{
        .voltage_V = use.at.voltage_V, .ambient_C = ambient_C, .after_trip = true, .ptc_scale = scale};
  };
  sim::CyclePlan plan{.cycles = use.looked, .on_s = study.job.pulse.on_s, .gap_s = study.job.use.gap_s};
  use.band = {use.cycles, use.cycles};
  double soonest = 1;  // of the scales, that which stops first
  const double tolerance = model::widest_ptc_tolerance(study);
  for (const double scale : {1 - tolerance, 1 + tolerance}) {
    const int cycles = sim::count_worst(study, with(scale), plan, progress).cycles_done;
    if (cycles < use.band.first && !use.stops()) soonest = scale;
    use.band.first = std::min(use.band.first, cycles);
    use.band.second = std::max(use.band.second, cycles);
  }
  if (!use.may_stop()) return use;
  plan.cycles = (use.stops() ? use.cycles : use.band.first) + 1;
  plan.want_recovery = true;
  // Together, or the door that stops sooner by itself.
  const sim::WorstCount worst = sim::count_worst(study, with(soonest), plan, progress);
  std::vector<std::size_t> doors;
  if (worst.alone) doors.push_back(*worst.alone);
  const sim::CycleResult result =
      sim::simulate_cycles(sim::make_circuit(study, with(soonest), doors), plan, {}, progress);
  base::require(result.lockout.has_value(), "what stops when it is counted stops when it is simulated");
  use.doors = worst.alone ? doors : result.lockout->doors;
  use.recovery = result.lockout->recovery;
  return use;
}

std::vector<ActuatorBench> distinct_actuators(const model::Study& study) {
  std::vector<ActuatorBench> found;
  for (std::size_t k = 0; k < study.doors.size(); ++k) {
    const model::Part& part = *study.doors[k].actuator;
    const auto known =
        std::find_if(found.begin(), found.end(), [&](const auto& one) { return one.report.part == part.id; });
    if (known != found.end()) {
      known->doors.push_back(k);
      continue;
    }
    ActuatorBench one;
    one.report.part = part.id;
    one.report.title = part.title;
    one.report.invented = part.source.kind == "invented";
    one.doors.push_back(k);
    found.push_back(std::move(one));
  }
  return found;
}

/// Temperatures over the wanted cycles of a hot day, and the rest after a lockout.
std::vector<Picture> hot_pictures(const model::Study& study, const verdict::At& at,
                                  base::Progress& progress) {
  CycleReport report;
  report.title = study.job.title;
  report.at = at;
  report.plan = {.cycles = study.job.use.hot_cycles,
                 .on_s = study.job.pulse.on_s,
                 .gap_s = study.job.use.gap_s,
                 .want_recovery = true};
  report.after_trip = true;
  report.other_load_A = study.job.feed.other_load_A;
  report.invented_parts = uses_invented_parts(study);
  for (std::size_t k = 0; k < study.doors.size(); ++k) {
    report.doors.push_back(study.job.doors[k].name);
    report.two_forces.push_back(study.job.doors[k].rod_force_unlock.has_value());
    report.winding_class_C.push_back(study.actuator(k).motor.winding_class_C);
  }
  const sim::Circuit circuit =
      sim::make_circuit(study, {.voltage_V = at.voltage_V, .ambient_C = at.ambient_C, .after_trip = true});
  // A long study keeps fewer samples a pulse.
  constexpr int most_samples = 20000, fewest_a_pulse = 8;
  const int a_pulse = std::clamp(most_samples / report.plan.cycles, fewest_a_pulse, samples_a_pulse);
  sim::TraceObserver trace(circuit, report.plan.on_s / a_pulse);
  report.result = sim::simulate_cycles(circuit, report.plan, {&trace}, progress);
  std::vector<Picture> pictures{cycling_temperatures(report, trace.samples())};
  if (auto rest = recovery(study, report, trace.samples())) pictures.push_back(std::move(*rest));
  return pictures;
}

/// Loss along the run of the door that loses most, where the check found it worst.
Picture loss_picture(const model::Study& study, const verdict::Examination& examination) {
  const verdict::CheckRow* found = nullptr;
  for (const auto& row : examination.worst) {
    if (row.id == verdict::CheckId::volt_drop && (found == nullptr || verdict::worse(row, *found)))
      found = &row;
  }
  base::require(found != nullptr, "every door has its row of lost voltage");
  return voltage_along_the_run(study, *found->door, *found->at);
}

}  // namespace

SheetFindings find_for_sheet(const model::Study& study, unsigned workers, base::Progress& progress) {
  constexpr double examined = 0.6;  // about the share of the time
  SheetFindings findings;
  Stretch first(progress, 0, examined);
  findings.examination = verdict::examine(study, workers, first);
  const verdict::Examination& examination = findings.examination;
  findings.actuators = distinct_actuators(study);

  Picture fuses, loss;
  std::vector<Picture> hot;
  base::OnlyCancels quiet(progress);
  const auto& climate = study.job.climate;
  std::vector<std::function<void()>> tasks{
      [&] { findings.hot = use_at(study, examination, climate.hot_C, quiet); },
      [&] { findings.usual = use_at(study, examination, climate.usual_C, quiet); },
      [&] { findings.cold = use_at(study, examination, climate.cold_C, quiet); },
      [&] { hot = hot_pictures(study, *lockout_row(examination, climate.hot_C).at, quiet); },
      [&] {
        const verdict::At usual{study.job.supply.usual_V, climate.usual_C};
        fuses = time_current(verdict::trace_time_current(study, usual, 1, quiet), std::nullopt,
                             uses_invented_parts(study));
      },
      [&] { loss = loss_picture(study, examination); }};
  for (ActuatorBench& one : findings.actuators) {
    tasks.emplace_back([&] {
      const std::size_t door = one.doors.front();
      one.report.sheet = bench::make_sheet(study.actuator(door), study.doors[door].curve, climate.usual_C,
                                           study.job.supply.usual_V, quiet);
    });
  }
  progress.report(examined, "readings and pictures");
  base::for_each_index(tasks.size(), workers, [&](std::size_t k) {
    if (progress.cancelled()) throw base::Cancelled();
    tasks[k]();
  });
  findings.pictures = {margins(study, examination.worst), std::move(fuses), std::move(loss)};
  for (Picture& picture : hot) findings.pictures.push_back(std::move(picture));
  return findings;
}

}  // namespace latchwright::report
