// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "sim/drive.h"
#include "sim/standstill.h"

namespace latchwright::sim {

/// Standstill inside a pulse: a held door may start again when others leave it more voltage.
class WaitingSystem final : public StandstillSystem {
 public:
  WaitingSystem(const Circuit& circuit, const Drive& drive)
      : StandstillSystem(circuit, true), drive_(drive), full_(circuit.doors.size() * slots) {}

  /// A stretch of a pulse of pulse_s seconds begins at this full state, whose angles stay.
  void begin(const State& full, double pulse_s);

  std::size_t event_count() const { return held_.size(); }
  void events(const State& x, double* g, Place place);
  /// Whether currents lag so little that they may be left to this system.
  bool follows(const StandstillCurrents& still) const;
  /// Whether currents lag too far behind resistances for this system: back to the full equations.
  bool settled(const State& x);

  /// The full state that belongs to the temperatures x, for whoever looks on.
  void expand(const State& x, State& full) { write(x, viewed_currents(x), full); }
  /// That with which the full equations go on.
  void hand_over(const State& x, State& full) { write(x, settled_ ? handed_ : viewed_currents(x), full); }
  /// That of the end of the step under way.
  void expand_end(const State& x, State& full) { write(x, at(Place::end).currents(), full); }

 private:
  void write(const State& x, const PerDoor<double>& current, State& full) const;

  /// Of what these currents take from the supply in the pulse, or in its first second, the share that their
  /// lag holds back.
  double share_of_lag(const StandstillCurrents& still) const;

  const Drive& drive_;
  State full_;
  std::vector<std::size_t> held_;
  double pulse_s_ = 1;
  bool settled_ = false;    // the stretch has ended because of lag,
  PerDoor<double> handed_;  // with these currents
};

extern template class Solver<WaitingSystem>;

}  // namespace latchwright::sim
