// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/cycle.h"

#include <algorithm>
#include <string>

#include "base/failure.h"
#include "sim/peaks.h"
#include "sim/pulse.h"
#include "sim/rest.h"

namespace latchwright::sim {

using physics::heat_nodes;

namespace {

std::vector<std::size_t> missing(const std::vector<std::optional<double>>& arrivals) {
  std::vector<std::size_t> doors;
  for (std::size_t k = 0; k < arrivals.size(); ++k) {
    if (!arrivals[k]) doors.push_back(k);
  }
  return doors;
}

/// Whole cycles before throw number `failed` (from 1), docs/model.md (5.1).
int whole_cycles_before(int failed) { return (failed - 1) / 2; }

}  // namespace

CycleResult simulate_cycles(const Circuit& circuit, const CyclePlan& plan, const Observers& observers,
                            base::Progress& progress) {
  const std::size_t count = circuit.doors.size();
  PeakObserver peaks(circuit);
  Observers all = observers;
  all.push_back(&peaks);
  PulseEngine engine(circuit);
  const Rest rest(circuit);
  const EqualRests gaps(rest, count, circuit.at.ambient_C, plan.gap_s);
  CycleResult result;
  result.doors.resize(count);
  std::vector<double> temperatures = ambient_temperatures(circuit);
  std::vector<double> before;
  double t = 0;
  for (int pulse = 1; pulse <= 2 * plan.cycles; ++pulse) {
    if (progress.cancelled()) throw base::Cancelled();
    const bool unlocking = pulse % 2 == 0;
    const auto& arrivals = engine.run(temperatures, t, plan.on_s, unlocking, all);
    t += plan.on_s;
    result.pulses = pulse;
    for (std::size_t k = 0; k < count; ++k) {
      if (pulse == 1) result.doors[k].first_throw_s = arrivals[k];
      DoorCycling& door = result.doors[k];
      if (!arrivals[k]) {
        door.missed.push_back(pulse);
        continue;
      }
      const double throw_s = *arrivals[k];
      door.last_throw_s = throw_s;
      door.quickest_throw_s = std::min(throw_s, door.quickest_throw_s.value_or(throw_s));
      door.slowest_throw_s = std::max(throw_s, door.slowest_throw_s.value_or(throw_s));
    }
    const auto missed = missing(arrivals);
    if (!missed.empty() && !result.lockout) {
      result.lockout = Lockout{pulse, missed, std::nullopt};
      if (plan.want_recovery) {
        result.lockout->recovery = solve_recovery(circuit, temperatures, plan.on_s, unlocking);
      }
      if (!plan.on_through) break;
    }
    progress.report(static_cast<double>(pulse) / (2.0 * plan.cycles), "cycling");
    before = temperatures;
    gaps.after(before, temperatures);
    const RestSegment segment(rest, before, t, t + plan.gap_s);
    if (plan.gap_s > 0 && pulse < 2 * plan.cycles) {
      for (Observer* observer : all) observer->segment(segment);
    } else if (plan.gap_s > 0) {
      // The last gap belongs to the use (sums over whole cycles) but not to the peaks of the simulated
      // pulses.
      for (Observer* observer : observers) observer->segment(segment);
      temperatures = before;
    }
    t += plan.gap_s;
  }
  result.cycles_done = result.lockout ? whole_cycles_before(result.lockout->throw_number) : plan.cycles;
  for (std::size_t k = 0; k < count; ++k) {
    DoorCycling& door = result.doors[k];
    door.peak_current_A = peaks.doors()[k].current.value();
    door.peak_winding_C = peaks.doors()[k].winding.value();
    door.peak_ptc_C = peaks.doors()[k].ptc.value();
    door.beyond_table = door.peak_ptc_C > circuit.doors[k].ptc.curve->last_T_C();
    std::copy_n(temperatures.data() + k * heat_nodes, heat_nodes, door.final_C.begin());
    door.final_winding_C = circuit.doors[k].heat.hottest_coil(door.final_C.data());
  }
  return result;
}

Counted count_until_missed(const Circuit& circuit, const CyclePlan& plan) {
  PulseEngine engine(circuit);
  const EqualRests gaps(Rest(circuit), circuit.doors.size(), circuit.at.ambient_C, plan.gap_s);
  std::vector<double> temperatures = ambient_temperatures(circuit);
  for (int pulse = 1; pulse <= 2 * plan.cycles; ++pulse) {
    const auto& arrivals = engine.run(temperatures, 0, plan.on_s, pulse % 2 == 0, {});
    auto missed = missing(arrivals);
    if (!missed.empty()) return {whole_cycles_before(pulse), std::move(missed)};
    gaps.after(temperatures, temperatures);
  }
  return {plan.cycles, {}};
}

int count_cycles(const Circuit& circuit, const CyclePlan& plan) {
  return count_until_missed(circuit, plan).cycles;
}

std::vector<std::optional<double>> single_throw(const Circuit& circuit, double on_s, bool unlocking,
                                                const Observers& observers) {
  PulseEngine engine(circuit);
  std::vector<double> temperatures = ambient_temperatures(circuit);
  return engine.run(temperatures, 0, on_s, unlocking, observers);
}

}  // namespace latchwright::sim
