// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/pulse.h"

#include <algorithm>

namespace latchwright::sim {

using physics::heat_nodes;

namespace {

/// Standstill inside a pulse: a held door may start again when others leave it more voltage.
class WaitingSystem final : public StandstillSystem {
 public:
  WaitingSystem(const Circuit& circuit, const DriveSystem& drive, const State& full)
      : StandstillSystem(circuit, true), drive_(drive), full_(full) {}

  std::size_t event_count() const override { return circuit_.doors.size(); }
  void events(const State& x, double, double* g) override {
    expand(x, full_);
    for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
      g[k] = drive_.modes()[k].motion == Motion::held ? drive_.start_surplus(full_.data() + k * slots, k) : -1;
    }
  }
  bool settled(const State& x, double) override {
    currents(x);
    return largest_lag() > 4e-3;  // the expansion no longer holds: back to the full equations
  }

  /// Full state at the temperatures x; angles stay.
  void expand(const State& x, State& full) {
    const auto& current = currents(x);
    full.resize(circuit_.doors.size() * slots);
    for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
      double* s = full.data() + k * slots;
      s[slot_current] = current[k];
      s[slot_speed] = 0;
      s[slot_angle] = full_[k * slots + slot_angle];
      std::copy_n(x.data() + k * heat_nodes, heat_nodes, s + slot_temperature);
    }
  }

 private:
  const DriveSystem& drive_;
  State full_;
};

class DrivenSegment : public Segment {
 public:
  DrivenSegment(const Step& step, double offset, const DriveSystem& drive)
      : step_(step), offset_(offset), drive_(drive) {}
  double begin() const override { return offset_ + step_.begin(); }
  double end() const override { return offset_ + step_.end(); }
  void at(double t, State& full) const override {
    step_.at(t - offset_, full);
    drive_.complete(full);
  }
  bool driven() const override { return true; }
  const std::vector<DoorMode>& modes() const override { return drive_.modes(); }
  bool unlocking() const override { return drive_.unlocking(); }

 protected:
  const Step& step_;
  double offset_;
  const DriveSystem& drive_;
};

class WaitingSegment final : public DrivenSegment {
 public:
  WaitingSegment(const Step& step, double offset, const DriveSystem& drive, WaitingSystem& system, State& scratch)
      : DrivenSegment(step, offset, drive), system_(system), scratch_(scratch) {}
  void at(double t, State& full) const override {
    step_.at(t - offset_, scratch_);
    system_.expand(scratch_, full);
  }

 private:
  WaitingSystem& system_;
  State& scratch_;
};

template <class Make>
class Forward final : public StepSink {
 public:
  Forward(const Observers& observers, Make make) : observers_(observers), make_(make) {}
  void take(const Step& step) override {
    if (observers_.empty()) return;
    const auto segment = make_(step);
    for (Observer* observer : observers_) observer->segment(segment);
  }

 private:
  const Observers& observers_;
  Make make_;
};

}  // namespace

std::vector<double> ambient_temperatures(const Circuit& circuit) {
  return std::vector<double>(circuit.doors.size() * heat_nodes, circuit.at.ambient_C);
}

PulseEngine::PulseEngine(const Circuit& circuit)
    : circuit_(circuit),
      drive_(circuit),
      drive_solver_(absolute_tolerance, relative_tolerance),
      wait_solver_(absolute_tolerance, relative_tolerance),
      full_(circuit.doors.size() * slots) {}

const std::vector<std::optional<double>>& PulseEngine::run(std::vector<double>& temperatures, double start_s,
                                                           double on_s, bool unlocking, const Observers& observers) {
  const std::size_t count = circuit_.doors.size();
  for (std::size_t k = 0; k < count; ++k) {
    std::copy_n(temperatures.data() + k * heat_nodes, heat_nodes, full_.data() + k * slots + slot_temperature);
  }
  drive_.begin_pulse(unlocking, full_);
  double t = 0;
  double step = 1e-3;
  for (const auto& door : circuit_.doors) step = std::min(step, 0.1 * door.motor.inductance / door.motor.resistance_25);
  double wait_step = 1e-3;
  const double first = step;
  Forward drive_sink(observers, [&](const Step& s) { return DrivenSegment(s, start_s, drive_); });
  while (t < on_s) {
    const Ended ended = drive_solver_.run(drive_, full_, t, on_s, step, drive_sink);
    drive_.complete(full_);
    step = std::max(first, 0.5 * drive_solver_.last_step());
    if (ended == Ended::event) {
      drive_.take_transitions(full_, t);
    } else if (ended == Ended::settled && !drive_.let_quick_currents_follow(full_)) {
      State temps(count * heat_nodes);
      State scratch(count * heat_nodes);
      for (std::size_t k = 0; k < count; ++k) {
        std::copy_n(full_.data() + k * slots + slot_temperature, heat_nodes, temps.data() + k * heat_nodes);
      }
      WaitingSystem waiting(circuit_, drive_, full_);
      Forward wait_sink(observers,
                        [&](const Step& s) { return WaitingSegment(s, start_s, drive_, waiting, scratch); });
      wait_solver_.run(waiting, temps, t, on_s, wait_step, wait_sink);
      wait_step = wait_solver_.last_step();
      waiting.expand(temps, full_);
      if (t < on_s) drive_.resume(full_, t);
      step = first;
    }
  }
  for (Observer* observer : observers) observer->pulse_ended(start_s + t, full_);
  for (std::size_t k = 0; k < count; ++k) {
    std::copy_n(full_.data() + k * slots + slot_temperature, heat_nodes, temperatures.data() + k * heat_nodes);
  }
  return drive_.arrivals();
}

}  // namespace latchwright::sim
