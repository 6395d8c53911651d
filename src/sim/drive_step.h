// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <optional>
#include <vector>

#include "sim/drive.h"
#include "sim/heat_modes.h"
#include "sim/linear_response.h"
#include "sim/lone_response.h"

namespace latchwright::sim {

/// One step of driven doors. Currents, speeds and angles follow a linear circuit exactly, whatever its time
/// constants; what is not linear in them (resistances that drift with heat, a curved load) enters as pushes
/// that grow with time and with its square, the latter from the true rates at the step's end: third order in
/// all that is slow, no limit from L/R. Heat comes from the energy balance of that linear circuit, so that a
/// step of any length keeps the energy that its own currents take.
///
/// A step is begun once, looked at for several lengths, completed, and perhaps landed on an event.
class DriveStep {
 public:
  DriveStep(const Circuit& circuit, const Drive& drive);

  /// What a step may be wrong by depends on how long the pulse is.
  void begin_pulse(double on_s) {
    on_s_ = std::min(1.0, on_s);
    t_ = -1;  // no step to go on from
  }
  /// A step begins at x (kept by reference until the next begin), time t of the pulse.
  void begin(const State& x, double t);
  /// Where the fast states are after h seconds, pushes as known so far.
  void look(double h);
  /// Completes the step that was last looked at: temperatures, true rates, better pushes and the fast states
  /// that they give. Returns its error over what is permitted.
  double complete();
  /// Whether the last complete() has moved the fast states.
  bool corrected() const { return corrected_; }
  /// How fast what is slow moves on, per s² (V and N·m), of each door: much the same in every pulse, so that
  /// a step that expects it need not be corrected.
  struct Drifting {
    double volts = 0, torque = 0;
  };
  using Drift = std::array<Drifting, most_doors>;
  void expect(const Drift& drift);
  void learn(Drift& drift) const;
  /// Pushes as they were at the begin, after a step that was too long to learn from.
  void forget_pushes();
  /// Moves the end of a completed step by a time so short that two terms of its Taylor series carry it.
  void land(double seconds);

  /// Makes the step ready to be looked at by observers.
  void finish();

  /// What has kept the step as short as it is, and the door that it is about.
  enum class Limit : std::size_t { turning, braking, resistance, load, heat };
  static constexpr std::size_t limits = 5;
  struct Blame {
    std::size_t door = 0;
    Limit limit = Limit::resistance;
  };
  Blame blame() const { return h_ >= 0.99 * longest_ ? longest_by_ : short_by_; }

  double begin_s() const { return t_; }
  double length_s() const { return h_; }
  const State& begin() const { return *x_; }
  const State& end() const { return end_; }
  const DrivePoint& begin_point() const { return first_; }
  /// After look(): rates of the linear circuit and what events need; after complete(): the true ones.
  const DrivePoint& end_point() const { return last_; }
  /// The state at 0 <= t <= length, s after the step's begin.
  void at(double t, State& x) const;
  /// The same with the rates of currents, speeds and angles; those of temperatures are left alone.
  void at(double t, State& x, State& rates) const;

  /// The longest step that the response can take here, s; a large number where nothing limits it.
  double longest() const { return longest_; }
  /// The largest current of a door in the step, A; where it is not above `above`, any value that is not.
  double largest_current(std::size_t door, double above) const;
  /// Shortest L/R of a door with current at the step's begin, s.
  double time_constant() const { return time_constant_; }
  /// The shortest time in which a moving rotor comes to its speed or to rest, s; a large number where none
  /// moves.
  double settling_s() const { return settling_s_; }
  /// What is short against everything that moves, s: a quarter of the shortest J R / K² and of a third of a
  /// turn.
  double short_piece() const { return 0.25 * std::min(longest_, rotor_s_); }
  /// The shortest time in which a node of a door follows its heat, s, where the step is long against it; a
  /// large number otherwise.
  double quick_node_s() const;
  /// Temperatures' rates at both ends as those see them who put a cubic between (K/s): of a node that is
  /// quick against the step no more than keeps the cubic from swinging past its ends.
  struct HeatRates {
    const double *first, *last;
  };
  HeatRates heat_rates(std::size_t door) const;

 private:
  /// What one door's step is made of, fixed at its begin.
  struct Basis {
    double lever = 0;          ///< N·m of load per N of force
    double gear_loss = 0;      ///< W lost in the gears per W at the rod
    double magnet_rate = 0;    ///< N·m/A/s: the torque constant's rate
    double friction_rate = 0;  ///< N·m/s
    bool curved = false;       ///< the load's law is no straight line here
  };
  /// The heat of a door whose quickest node follows it within the step: what is put in, W and W/s.
  struct QuickHeat {
    bool quick = false;
    std::array<double, physics::heat_nodes> watts{}, watts_per_s{};
    std::array<double, physics::heat_nodes> first_rate{}, last_rate{};  // as observers see them, K/s
  };
  static constexpr double unlimited = 1e9;  // s
  /// By how far what oscillates or grows may turn in a step, rad or e-folds.
  double largest_turn() const;
  /// The longest step that what oscillates or grows in a door permits, s.
  double longest_by_turning(std::size_t door, double cheap) const;
  /// The longest that a rotor which damping has just begun to brake permits, s.
  double longest_by_braking(std::size_t door) const;
  const HeatModes& modes(std::size_t door) const;
  /// Temperatures at the end of a step that is long against the quickest node, and how well known they are.
  void add_quick_heat(std::size_t door, const double* watts);
  void rein_rates(std::size_t door);
  bool reined(std::size_t door) const;
  /// Heat into the nodes of a door at one state, W.
  void heat_at(std::size_t door, const double* state, const DoorPoint& point, double* watts) const;
  void respond(double h, const Push* pushes, Increment* out) const;
  /// Rates of the linear circuit t after the begin; sum: of all currents' increments.
  double current_rate(std::size_t door, double t, const Increment& increment, double sum) const;
  double speed_rate(std::size_t door, double t, const Increment& increment) const;
  void take_linear_rates();
  /// Second derivatives t after the begin, A/s² and rad/s³, from the rates there.
  double current_bend(std::size_t door, double t, const double* rate, double sum_rate) const;
  double speed_bend(std::size_t door, double t, const double* rate) const;
  void write_fast(const Increment* increments, State& x) const;
  void write_temperatures(double t, State& x) const;

  // The integrals over the step that no identity of the linear circuit gives, J of doubt about them returned:
  // of the squares of speeds, and of each current with all others about their ends.
  double integrate_by_ends();
  double integrate_by_nodes(double permitted);
  /// By whichever is good enough for the permitted joules.
  double integrate(double permitted);
  double permitted_joules() const;
  /// Damping of a door's rotor, as far as the energy balance feels an error in it, N·m·s.
  double weighty_damping(std::size_t door) const;
  /// Temperatures at the end, from these integrals and the step's energy balance. end_known: friction and
  /// torque constants at the end are at hand; else they are as their rates at the begin have them.
  void add_heat(bool end_known);
  /// Adds what the pushes that grow with the square of time lack, with its effect on the end; whether it was
  /// worth it.
  bool correct();
  /// How far a door's load lies beside its straight line in the middle of the step, N·m.
  double bend_of_load(std::size_t door) const;
  /// The step's error by these pushes, over what is permitted.
  double error() const;

  const Circuit& circuit_;
  const Drive& drive_;
  std::array<double, most_doors> quick_heat_s_{};  // within so much of it heat has a nearly straight course
  std::array<std::array<double, physics::heat_nodes>, most_doors> node_s_{};  // each node's by itself
  std::array<QuickHeat, most_doors> heat_;
  mutable std::vector<std::optional<HeatModes>> modes_;  // of doors that have needed them
  mutable LoneResponse probe_;                           // of one door of several
  double heat_off_K_ = 0;                                // doubt about quick nodes at the end
  std::size_t heat_off_door_ = 0;
  Blame longest_by_;
  mutable Blame short_by_;
  const State* x_ = nullptr;
  bool corrected_ = false;
  double on_s_ = 1, t_ = 0, h_ = 0, longest_ = 0, smooth_s_ = 0, settling_s_ = 0, time_constant_ = 0,
         rotor_s_ = 0;
  DrivePoint first_, last_;
  std::array<LinearDoor, most_doors> linear_;
  std::array<Basis, most_doors> basis_;
  std::array<Push, most_doors> pushes_;
  std::array<Increment, most_doors> increments_;
  /// Fast rates of the linear circuit at the step's end.
  struct FastRate {
    double current = 0, speed = 0;
  };
  std::array<FastRate, most_doors> linear_rate_;
  std::array<double, most_doors> charge_{};                  // that each current brings in the step, A·s
  std::array<double, most_doors> square_{}, with_others_{};  // rad²/s, A²s
  mutable LinearResponse shared_;                            // of several doors
  LoneResponse lone_;                                        // of one
  State end_;
  /// Currents' increments and rates seen inside the step, in the order of time; none where a cubic between
  /// the ends says as much.
  struct Sample {
    double t = 0;
    std::array<double, most_doors> current, rate;
  };
  std::array<Sample, 7> samples_;
  std::size_t sample_count_ = 0;
};

}  // namespace latchwright::sim
