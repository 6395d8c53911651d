// SPDX-License-Identifier: GPL-3.0-or-later
#include "spread/sample.h"

#include <algorithm>

#include "model/job_fields.h"
#include "sim/lockout.h"
#include "sim/stall.h"
#include "spread/figures.h"

namespace latchwright::spread {

namespace {

/// Kept within what a job may name.
template <class R>
double lawful(const model::Table<R>& table, const char* key, double value) {
  const auto& info = table.find(key)->info;
  return std::clamp(value, info.low, info.high);
}

sim::Condition condition(const Installation& one, double voltage_V, double ambient_C, bool after_trip) {
  static const auto& supply = model::supply_table();
  static const auto& climate = model::climate_table();
  return {.voltage_V = lawful(supply, "usual_V", voltage_V + one.voltage_shift_V),
          .ambient_C = lawful(climate, "usual_C", ambient_C + one.ambient_shift_K),
          .after_trip = after_trip};
}

}  // namespace

Sampler::Sampler(const model::Study& study, const SpreadPlan& plan)
    : uncertain_(study),
      plan_(plan),
      weak_V_(study.job.supply.low_V),
      weak_C_(study.job.climate.cold_C),
      two_forces_(std::any_of(study.job.doors.begin(), study.job.doors.end(),
                              [](const model::Door& door) { return door.rod_force_unlock.has_value(); })) {}

sim::WorstCount Sampler::count(const Installation& one, int most, const base::Progress& progress) const {
  const sim::CyclePlan plan{.cycles = most, .on_s = plan_.on_s, .gap_s = plan_.gap_s};
  return sim::count_worst(one.study, condition(one, plan_.voltage_V, plan_.ambient_C, true), plan, progress);
}

std::optional<double> Sampler::recovery(const Installation& one, const sim::WorstCount& stopped,
                                        base::Progress& progress) const {
  const sim::CyclePlan plan{
      .cycles = stopped.cycles_done + 1, .on_s = plan_.on_s, .gap_s = plan_.gap_s, .want_recovery = true};
  std::vector<std::size_t> doors;
  if (stopped.alone) doors.push_back(*stopped.alone);
  const sim::Circuit circuit =
      sim::make_circuit(one.study, condition(one, plan_.voltage_V, plan_.ambient_C, true), doors);
  base::OnlyCancels quiet(progress);
  const auto lockout = sim::simulate_cycles(circuit, plan, {}, quiet).lockout;
  if (!lockout || !lockout->recovery || !lockout->recovery->recovery_s) return std::nullopt;
  constexpr double least_s = 1e-3;  // bins of times have no place for none at all
  return std::max(least_s, *lockout->recovery->recovery_s);
}

Sampler::Held Sampler::hold(const Installation& one, double limit_s, base::Progress& progress) const {
  const sim::Circuit circuit =
      sim::make_circuit(one.study, condition(one, plan_.voltage_V, plan_.ambient_C, false));
  base::OnlyCancels quiet(progress);
  Held held;
  held.peak_winding_C = circuit.at.ambient_C;
  for (const auto& door : sim::simulate_stall(circuit, limit_s, {}, quiet)) {
    held.peak_winding_C = std::max(held.peak_winding_C, door.peak_winding_C);
    if (door.trip_time_s) held.trip_s = std::min(held.trip_s.value_or(*door.trip_time_s), *door.trip_time_s);
  }
  return held;
}

std::optional<double> Sampler::first_throw(const Installation& one) const {
  const sim::Circuit circuit = sim::make_circuit(one.study, condition(one, weak_V_, weak_C_, false));
  double slowest = 0;
  for (const bool unlocking : {false, true}) {
    if (unlocking && !two_forces_) break;
    for (const auto& arrival : sim::single_throw(circuit, plan_.on_s, unlocking)) {
      if (!arrival) return std::nullopt;
      slowest = std::max(slowest, *arrival);
    }
  }
  return slowest;
}

SampleFigures Sampler::figures(const std::vector<double>& places, base::Progress& progress) const {
  const Installation one = uncertain_.at(places);
  const Held held = hold(one, held_s, progress);
  const sim::WorstCount counted = count(one, counted_cycles(plan_), progress);
  SampleFigures figures{.cycles = counted.cycles_done,
                        .trip_s = held.trip_s,
                        .peak_winding_C = held.peak_winding_C,
                        .first_throw_s = first_throw(one),
                        .recovery_s = std::nullopt};
  if (figures.cycles < plan_.cycles) figures.recovery_s = recovery(one, counted, progress);
  return figures;
}

int Sampler::cycles(const std::vector<double>& places, int most, const base::Progress& progress) const {
  return count(uncertain_.at(places), most, progress).cycles_done;
}

std::optional<double> Sampler::trip_s(const std::vector<double>& places, base::Progress& progress) const {
  return hold(uncertain_.at(places), held_s, progress).trip_s;
}

}  // namespace latchwright::spread
