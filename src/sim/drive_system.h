// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "sim/door_rates.h"
#include "sim/standstill.h"

namespace latchwright::sim {

/// Power on, doors moving or about to: currents, speeds, angles and temperatures of all doors, with the events of
/// docs/model.md section 3. State: `slots` per door.
class DriveSystem final : public System {
 public:
  explicit DriveSystem(const Circuit& circuit);

  /// Every door held at the start of its throw; then the transitions that hold at once are taken.
  void begin_pulse(bool unlocking, State& x);
  /// Goes on after a stretch at standstill: doors with current conduct.
  void resume(State& x, double t);
  /// Takes every transition that is due at x; records arrivals at time t. Throws base::StudyError when doors start
  /// and halt without end.
  void take_transitions(State& x, double t);

  /// Standing doors whose current follows the voltage far quicker than anything moves (a tripped thermistor makes L/R
  /// microseconds) give up their own equation: their current is then what the resistance leaves. Takes those that are
  /// ready at x; true when there was one. Without this the quickest door would set every step.
  bool let_quick_currents_follow(const State& x);
  /// Writes the currents of those doors into a state that a run has left.
  void complete(State& x) const;

  void rates(const State& x, State& dxdt, double t) override;
  std::size_t event_count() const override { return events_per_door * circuit_.doors.size(); }
  void events(const State& x, double t, double* g) override;
  bool settled(const State& x, double t) override;
  double small_value(std::size_t slot) const override;
  std::string describe(const State& x) const override;

  const std::vector<DoorMode>& modes() const { return modes_; }
  bool unlocking() const { return unlocking_; }
  /// Time of arrival of each door in this pulse, s from the pulse's start.
  const std::vector<std::optional<double>>& arrivals() const { return arrivals_; }
  /// K i - what holds it back, N·m; positive: a held door starts.
  double start_surplus(const double* door_state, std::size_t door) const;
  bool any_moving() const;

 private:
  static constexpr std::size_t events_per_door = 3;  // motion, place, current

  double node_voltage(const State& x) const;
  /// Node voltage, with the quick doors' currents solved along.
  double solve_currents(const State& x) const;
  /// A door's current at the state that solve_currents() was last called for.
  double current(const State& x, std::size_t door) const {
    return quick_[door] ? quick_currents_[door] : x[door * slots + slot_current];
  }
  bool is_ready_to_follow(const State& x, std::size_t door, double node) const;
  double surplus_at(const double* door_state, std::size_t door, double current) const;
  /// What drives the current of a door without any, V: above 0 it conducts.
  double blocked_drive(const double* door_state, std::size_t door, double node) const;

  const Circuit& circuit_;
  StandstillCurrents still_;
  std::vector<double> still_current_;
  std::vector<DoorMode> modes_;
  std::vector<char> quick_;  // by door: its current follows
  bool any_quick_ = false;
  mutable std::vector<double> quick_currents_;
  mutable std::vector<DoorOhms> quick_ohms_;
  std::vector<std::optional<double>> arrivals_;
  bool unlocking_ = false;
  long transitions_ = 0;
};

}  // namespace latchwright::sim
