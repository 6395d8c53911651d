// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>

#include "sim/door_rates.h"

namespace latchwright::sim {

/// Currents of doors whose rotors all stand, from their temperatures alone. With inductance the current lags
/// behind its standstill value by L/R times its rate of change; that first-order lag is included, and what is
/// left is of second order in L/R over the time in which resistances change (about 1e-8 for an ordinary
/// motor).
class StandstillCurrents {
 public:
  StandstillCurrents(const Circuit& circuit, bool with_inductance);

  /// T: heat_nodes per door, doors `stride` apart. Returns the doors' currents, A.
  const PerDoor<double>& solve(const double* T, std::size_t stride);
  /// The same copied.
  void solve(const double* T, std::size_t stride, PerDoor<double>& current) { current = solve(T, stride); }

  /// Of the last solve: currents, A.
  const PerDoor<double>& currents() const { return current_; }
  /// A door's resistances as the last solve took them.
  const DoorOhms& ohms(std::size_t door) const { return ohms_[door]; }
  /// Currents of the last solve without their lag.
  const PerDoor<double>& still() const { return still_; }
  /// How fast those change as resistances do, A/s.
  const PerDoor<double>& still_rate() const { return slope_; }

  /// The largest lag of the last solve, relative to the door's current: the expansion holds while it is
  /// small.
  double largest_lag() const { return largest_lag_; }
  /// By how much that lag may be wrong, relative to the door's current, because it warms the thermistor too.
  double largest_doubt() const { return largest_doubt_; }
  /// By how much the inductances' energy lags behind, J: what the expansion may be wrong by in all.
  double lag_J() const { return lag_J_; }
  /// How far each door's current of the last solve lags, A.
  const PerDoor<double>& lag() const { return lag_; }

 private:
  void take_lag(const double* T, std::size_t stride);
  void apply_inverse(const PerDoor<double>& right, PerDoor<double>& out) const;

  const Circuit& circuit_;
  bool with_inductance_;
  double largest_lag_ = 0, largest_doubt_ = 0, lag_J_ = 0;
  PerDoor<DoorOhms> ohms_;
  PerDoor<double> resistance_, still_, current_, change_, slope_, driven_, lag_;
};

/// All doors standing, power on: only temperatures move. State: heat_nodes per door.
class StandstillSystem {
 public:
  StandstillSystem(const Circuit& circuit, bool with_inductance);

  // What Solver asks for (see Solvable); events belong to who derives.
  static constexpr std::size_t usual_size = physics::heat_nodes;  // one door
  void rates(const State& x, State& dxdt, Place place);
  void accept();
  void factor(const State& x, double shift);
  void solve(State& b) const;
  double put_right(const Step& step, State& end, State& end_rate);
  std::string describe(const State& x) const;

  /// Looks at a state at which a run may begin.
  const StandstillCurrents& look(const State& x);
  /// A study, or a part of it whose energy counts by itself, begins with so much current of all doors, A, and
  /// lasts so long at least, s: what errors of energy are measured by.
  void begin_energy(double current_A, double seconds) { energy_J_ = scale_J(current_A, seconds); }

  /// Currents at a place of the step, A, and resistances there.
  const StandstillCurrents& at(Place place) const { return at_[index(place)]; }
  /// The length of the step that was accepted last, s.
  double step_s() const { return step_s_; }

  /// Currents at any state, for whoever looks on while a run is under way, A.
  const PerDoor<double>& viewed_currents(const State& x) { return viewer_.solve(x.data(), heat_nodes); }
  const PerDoor<double>& viewed() const { return viewer_.currents(); }
  const DoorOhms& viewed_ohms(std::size_t door) const { return viewer_.ohms(door); }

 protected:
  static constexpr std::size_t heat_nodes = physics::heat_nodes;
  /// What such currents take from the supply in that time, in a second at most, and where nothing flows a
  /// little, J.
  double scale_J(double current_A, double seconds) const;
  const Circuit& circuit_;

 private:
  using Block = std::array<std::array<double, heat_nodes>, heat_nodes>;
  using Column = std::array<double, heat_nodes>;
  /// One door's part of shift I - J, inverted, and what ties it to the others through the node voltage.
  struct Factored {
    std::size_t size;
    Block network;                    // of shift I - J, what only the heat network gives
    Block inverse;                    // of the door's own block, column by column
    Column pull;                      // rates' change per volt at the node, then the block's solution for it
    double winding_share, ptc_share;  // V at the node per K
  };
  /// Whether a thermistor's curve goes from one piece to another between two states.
  bool bends(const State& first, const State& last) const;
  /// Whether a thermistor's resistance hangs so much on its temperature, at an end of the step, that a cubic
  /// of temperatures says little of what flows.
  bool steep() const;
  void put_block(std::size_t door, double shift, Factored& f) const;
  std::size_t index(Place place) const {
    return place == Place::inside ? 1 : (place == Place::begin) == swapped_ ? 2 : 0;
  }

  std::array<StandstillCurrents, 3>
      at_;  // begin and end, swapped by every accepted step, with inside between
  bool swapped_ = false;
  StandstillCurrents viewer_;
  PerDoor<Factored> factored_;
  State looked_at_;
  double coupling_ = 1;
  double energy_J_ = 1;  // taken from the supply so far
  double step_s_ = 0;    // of the step accepted last, or under trial
  std::array<State, 3> inside_, inside_rate_;
};

}  // namespace latchwright::sim
