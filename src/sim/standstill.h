// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "sim/door_rates.h"

namespace latchwright::sim {

/// Currents of doors whose rotors all stand, from their temperatures alone. With inductance the current lags behind
/// its standstill value by L/R times its rate of change; that first-order lag is included, and what is left is of
/// second order in L/R over the time in which resistances change (about 1e-8 for an ordinary motor).
class StandstillCurrents {
 public:
  StandstillCurrents(const Circuit& circuit, bool with_inductance);

  /// T: heat_nodes per door, doors `stride` apart.
  void solve(const double* T, std::size_t stride, std::vector<double>& current);

  /// A door's resistances as the last solve took them.
  const DoorOhms& ohms(std::size_t door) const { return ohms_[door]; }

  /// The largest lag of the last solve, relative to the door's current: the expansion holds while it is small.
  double largest_lag() const { return largest_lag_; }

 private:
  void apply_inverse(const std::vector<double>& right, std::vector<double>& out) const;

  const Circuit& circuit_;
  bool with_inductance_;
  double largest_lag_ = 0;
  std::vector<DoorOhms> ohms_;
  std::vector<double> resistance_, still_, change_, slope_, lag_;
};

/// All doors standing, power on: only temperatures move. State: heat_nodes per door.
class StandstillSystem : public System {
 public:
  StandstillSystem(const Circuit& circuit, bool with_inductance);

  void rates(const State& x, State& dxdt, double t) override;
  std::size_t event_count() const override { return 0; }
  void events(const State&, double, double*) override {}
  bool settled(const State&, double) override { return false; }
  std::string describe(const State& x) const override;

  /// Currents at a state, A.
  const std::vector<double>& currents(const State& x);
  /// Resistances of a door at the state that currents() or rates() was last asked for.
  const DoorOhms& ohms(std::size_t door) const { return solver_.ohms(door); }
  double largest_lag() const { return solver_.largest_lag(); }

 protected:
  const Circuit& circuit_;

 private:
  StandstillCurrents solver_;
  std::vector<double> current_;
};

}  // namespace latchwright::sim
