// SPDX-License-Identifier: GPL-3.0-or-later
#include "reference/cvode/cvode_study.h"

#include <algorithm>
#include <cmath>

namespace latchwright::tests::cvode {

std::vector<StallDoor> stall(const Network& network, double limit_s, const Tolerances& tolerances,
                             EnergyWatch* energy) {
  const std::size_t count = network.doors.size();
  StallSystem system(network);
  Integrator run(system, count, system.usual_sizes(), count * StallSystem::events_each, tolerances);
  PeakWatch watch(network);
  std::fill_n(run.state(), run.size(), network.at.ambient_C);
  system.begin(run.state());
  std::vector<StallDoor> doors(count);
  bool waits = true;
  // The equations are as smooth behind a trip as before it, so that CVODE goes on without a new start.
  run.restart(0, waits);
  watch.begin(system, system.layout(), 0, run.state());
  if (energy != nullptr) energy->begin(system, run);
  for (bool going = true; going;) {
    const Integrator::Step step = run.step(limit_s);
    watch.step(run.time(), run.state());
    if (energy != nullptr) energy->step();
    going = step != Integrator::Step::end;
    if (step != Integrator::Step::event) continue;
    for (std::size_t k = 0; k < count; ++k) {
      if (run.found()[2 * k] != 0) {
        doors[k].halved = true;
        system.waits_half[k] = 0;
      }
      if (run.found()[2 * k + 1] != 0) {
        doors[k].trip_s = run.time();
        system.waits_trip[k] = 0;
      }
    }
  }
  const std::vector<double> last = system.currents(run.state());
  for (std::size_t k = 0; k < count; ++k) {
    StallDoor& door = doors[k];
    const DoorModel& model = network.doors[k];
    const double* T = run.state() + k * network.nodes;
    door.first_current = system.first_currents()[k];
    door.last_current = last[k];
    door.peak_coil = watch.peaks()[k].coil;
    door.peak_pill = watch.peaks()[k].pill;
    door.last_coil = model.hot_coil(T);
    door.last_C.assign(T, T + network.nodes);
    door.beyond_table = door.peak_pill > model.curve.last_C();
  }
  return doors;
}

std::vector<std::optional<double>> hold_currents(const Network& network) {
  std::vector<std::optional<double>> out;
  for (const DoorModel& door : network.doors) {
    out.push_back(hold_current(door.curve, door.pill_25, door.pill_W_per_K(), network.at.ambient_C));
  }
  return out;
}

CycleStudy cycle(const Network& network, const Cycles& plan, const Tolerances& tolerances,
                 EnergyWatch* energy) {
  const std::size_t count = network.doors.size();
  Pulse pulse(network, tolerances);
  Rest rest(network, tolerances);
  PeakWatch watch(network);
  std::vector<double> T(count * network.nodes, network.at.ambient_C);
  CycleStudy study;
  study.doors.resize(count);
  const int most = 2 * plan.cycles;
  for (int number = 1; number <= most; ++number) {
    const Arrivals& arrivals = pulse.run(T, plan.on_s, number % 2 == 0, &watch, energy);
    study.pulses = number;
    std::vector<std::size_t> missed;
    for (std::size_t k = 0; k < count; ++k) {
      CycleDoor& door = study.doors[k];
      if (number == 1) door.first_throw = arrivals[k];
      if (arrivals[k]) door.last_throw = arrivals[k];
      if (!arrivals[k]) missed.push_back(k);
    }
    if (!missed.empty() && study.lockout_throw == 0) {
      study.lockout_throw = number;
      study.missed = missed;
      study.lockout_C = T;
      if (!plan.on_through) break;
    }
    if (number < most) rest.run(T, plan.gap_s, &watch, energy);
  }
  study.cycles_done = study.lockout_throw > 0 ? (study.lockout_throw - 1) / 2 : plan.cycles;
  for (std::size_t k = 0; k < count; ++k) {
    CycleDoor& door = study.doors[k];
    const double* at = T.data() + k * network.nodes;
    door.peaks = watch.peaks()[k];
    door.last_C.assign(at, at + network.nodes);
    door.last_coil = network.doors[k].hot_coil(at);
    door.beyond_table = door.peaks.pill > network.doors[k].curve.last_C();
  }
  return study;
}

}  // namespace latchwright::tests::cvode
