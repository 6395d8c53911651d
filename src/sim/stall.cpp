// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/stall.h"

#include <algorithm>

#include "base/failure.h"
#include "sim/peaks.h"
#include "sim/pulse.h"

namespace latchwright::sim {

using physics::heat_nodes;

namespace {

/// Standstill with two events a door: its current has halved, and the thermistor has done it.
class StallSystem final : public StandstillSystem {
 public:
  explicit StallSystem(const Circuit& circuit)
      : StandstillSystem(circuit, false), halved_(circuit.doors.size()), tripped_(circuit.doors.size()) {}

  void begin(const State& x) {
    initial_ = currents(x);
    for (std::size_t k = 0; k < circuit_.doors.size(); ++k) initial_ohms_.push_back(ohms(k));
  }

  std::size_t event_count() const override { return 2 * circuit_.doors.size(); }
  void events(const State& x, double, double* g) override {
    const auto& now = currents(x);
    for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
      const bool live = initial_[k] > 0;
      const double below_half = 0.5 - now[k] / std::max(initial_[k], 1e-30);
      const DoorOhms& first = initial_ohms_[k];
      const double ptc_share = (ohms(k).ptc - first.ptc - ohms(k).winding + first.winding) / first.winding;
      g[2 * k] = live && !halved_[k] ? below_half : -1;
      g[2 * k + 1] = live && !tripped_[k] ? std::min(below_half, ptc_share) : -1;
    }
  }
  void take_events(const State& x, double t) {
    std::vector<double> g(event_count());
    events(x, t, g.data());
    for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
      if (g[2 * k] > 0) halved_[k] = t;
      if (g[2 * k + 1] > 0) tripped_[k] = t;
    }
  }
  const std::vector<double>& initial() const { return initial_; }
  const std::vector<std::optional<double>>& halved() const { return halved_; }
  const std::vector<std::optional<double>>& tripped() const { return tripped_; }

 private:
  std::vector<double> initial_;
  std::vector<DoorOhms> initial_ohms_;
  std::vector<std::optional<double>> halved_, tripped_;
};

class StallSegment final : public Segment {
 public:
  StallSegment(const Step& step, StallSystem& system, State& scratch, const std::vector<DoorMode>& modes)
      : step_(step), system_(system), scratch_(scratch), modes_(modes) {}
  double begin() const override { return step_.begin(); }
  double end() const override { return step_.end(); }
  void at(double t, State& full) const override {
    step_.at(t, scratch_);
    const auto& current = system_.currents(scratch_);
    full.assign(current.size() * slots, 0.0);
    for (std::size_t k = 0; k < current.size(); ++k) {
      full[k * slots + slot_current] = current[k];
      std::copy_n(scratch_.data() + k * heat_nodes, heat_nodes, full.data() + k * slots + slot_temperature);
    }
  }
  bool driven() const override { return true; }
  const std::vector<DoorMode>& modes() const override { return modes_; }
  bool unlocking() const override { return false; }

 private:
  const Step& step_;
  StallSystem& system_;
  State& scratch_;
  const std::vector<DoorMode>& modes_;
};

class StallSink final : public StepSink {
 public:
  StallSink(StallSystem& system, const Observers& observers, std::size_t doors, double limit_s,
            base::Progress& progress)
      : system_(system), observers_(observers), modes_(doors), limit_s_(limit_s), progress_(progress) {
    scratch_.resize(doors * heat_nodes);
  }
  void take(const Step& step) override {
    if (progress_.cancelled()) throw base::Cancelled();
    progress_.report(step.end() / limit_s_, "standing");
    const StallSegment segment(step, system_, scratch_, modes_);
    for (Observer* observer : observers_) observer->segment(segment);
  }

 private:
  StallSystem& system_;
  const Observers& observers_;
  std::vector<DoorMode> modes_;
  double limit_s_;
  base::Progress& progress_;
  State scratch_;
};

}  // namespace

std::vector<DoorStall> simulate_stall(const Circuit& circuit, double limit_s, const Observers& observers,
                                      base::Progress& progress) {
  const std::size_t count = circuit.doors.size();
  PeakObserver peaks(circuit);
  Observers all = observers;
  all.push_back(&peaks);
  StallSystem system(circuit);
  State x = ambient_temperatures(circuit);
  system.begin(x);
  Solver solver(absolute_tolerance, relative_tolerance);
  StallSink sink(system, all, count, limit_s, progress);
  double t = 0;
  double step = 1e-3;
  while (t < limit_s) {
    if (solver.run(system, x, t, limit_s, step, sink) == Ended::event) system.take_events(x, t);
    step = solver.last_step();
  }
  std::vector<DoorStall> doors(count);
  const auto& final_current = system.currents(x);
  for (std::size_t k = 0; k < count; ++k) {
    DoorStall& door = doors[k];
    door.initial_current_A = system.initial()[k];
    door.trip_time_s = system.tripped()[k];
    door.limited_by = door.trip_time_s     ? LimitedBy::thermistor
                      : system.halved()[k] ? LimitedBy::winding
                                           : LimitedBy::nothing;
    door.final_current_A = final_current[k];
    door.hold_current_A = physics::hold_current(circuit.doors[k].ptc, circuit.doors[k].heat.ptc_to_ambient(),
                                                circuit.at.ambient_C);
    door.peak_winding_C = peaks.doors()[k].winding.peak();
    door.beyond_table = peaks.doors()[k].ptc.peak() > circuit.doors[k].ptc.curve->last_T_C();
    std::copy_n(x.data() + k * heat_nodes, heat_nodes, door.final_C.begin());
    door.final_winding_C = circuit.doors[k].heat.hottest_coil(door.final_C.data());
  }
  return doors;
}

}  // namespace latchwright::sim
