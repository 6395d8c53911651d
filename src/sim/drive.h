// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <optional>
#include <string>

#include "sim/door_rates.h"

namespace latchwright::sim {

/// All driven doors at one state.
struct DrivePoint {
  double node = 0;  ///< V
  std::array<DoorPoint, most_doors> doors;
};

/// The doors of a circuit during a pulse: which of them are held, move or have stopped, and the events that
/// change it (docs/model.md section 3). Full states, `slots` per door.
class Drive {
 public:
  /// Events of one door: it starts or halts; take-up, kink of its load or stroke reached; its load turns from
  /// resisting to helping or back; its current begins or is blocked.
  enum Kind : std::size_t { motion, place, turn, flow };
  static constexpr std::size_t kinds = 4;
  /// An event function and its rate: the event happens when the value becomes positive, by more than an edge
  /// that only rounding would cross.
  struct Crossing {
    std::size_t door;
    Kind kind;
    double value, rate, edge;
  };
  /// Those that can happen in the present modes, always in the same order.
  class Crossings {
   public:
    void clear() { size_ = 0; }
    void add(const Crossing& crossing) { all_[size_++] = crossing; }
    std::size_t size() const { return size_; }
    const Crossing& operator[](std::size_t n) const { return all_[n]; }
    const Crossing* begin() const { return all_.data(); }
    const Crossing* end() const { return all_.data() + size_; }

   private:
    std::array<Crossing, kinds * most_doors> all_;
    std::size_t size_ = 0;
  };
  /// Below this rate, in units of the value per second, what stands on its edge has not gone over it: a door
  /// that has just started, a current that has just begun.
  static constexpr double least_rate = 10;

  explicit Drive(const Circuit& circuit);

  /// Every door held at the start of its throw, without current.
  void begin_pulse(bool unlocking, State& x);
  /// Goes on after a stretch at standstill: doors with current conduct.
  void resume(State& x, double t);

  /// Fills in the point of the state x. With resistances_known those of the point are taken as they stand.
  void at(const State& x, DrivePoint& point, bool resistances_known = false) const;
  void crossings(const State& x, const DrivePoint& point, Crossings& out) const;

  /// Takes an event that has been reached, at time t of the pulse, and puts the state exactly on it.
  void take(std::size_t door, Kind kind, State& x, double t);
  /// Takes all transitions that hold at once. Throws base::StudyError when doors start and halt without end.
  void take_transitions(State& x, double t);

  /// K i less what holds it back, N·m; above 0 a held door starts.
  double start_surplus(const double* door_state, std::size_t door) const;
  /// The load's law from here on, of a door whose rod moves.
  physics::RodLoad::Piece load_piece(const double* door_state, std::size_t door) const;

  const std::vector<DoorMode>& modes() const { return modes_; }
  bool unlocking() const { return unlocking_; }
  bool any_moving() const;
  /// Time of arrival of each door in this pulse, s from the pulse's start.
  const std::vector<std::optional<double>>& arrivals() const { return arrivals_; }
  std::string describe(const State& x) const;

 private:
  double node_voltage(const State& x) const;
  /// What drives the current of a door without any, V: above 0 it conducts.
  double blocked_drive(const double* door_state, std::size_t door, double node) const;
  /// Where the next event of kind `place` lies, and whether the load helps there.
  void aim(std::size_t door, double from_m, const double* door_state);

  const Circuit& circuit_;
  std::vector<DoorMode> modes_;
  std::vector<double> piece_from_m_;  // rod travel where the present piece of the load began
  std::vector<double> place_rad_;     // angle of the next place
  std::vector<std::optional<double>> arrivals_;
  bool unlocking_ = false;
  long transitions_ = 0;
};

}  // namespace latchwright::sim
