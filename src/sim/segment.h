// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "sim/circuit.h"
#include "sim/solver.h"

namespace latchwright::sim {

// Layout of a full state: door after door, each with current, speed, angle and its node temperatures.
inline constexpr std::size_t slot_current = 0;      ///< A
inline constexpr std::size_t slot_speed = 1;        ///< rad/s of the motor
inline constexpr std::size_t slot_angle = 2;        ///< rad of the motor since the pulse began
inline constexpr std::size_t slot_temperature = 3;  ///< first of physics::heat_nodes temperatures, degC
inline constexpr std::size_t slots = 3 + physics::heat_nodes;

enum class Motion { held, moving, stopped };

/// What a door does between two events of a pulse (docs/model.md section 3).
struct DoorMode {
  Motion motion = Motion::held;
  bool conducting = true;  ///< false: current 0, blocked by brush drop and back-EMF
  bool taken_up = false;   ///< the free motion is used up
  bool arrived = false;    ///< the rod has reached the door's stroke
  bool helping = false;    ///< the load pushes with the motion
};

/// A stretch of a study without events inside, as observers see it. Times from the study's start, s.
class Segment {
 public:
  virtual ~Segment() = default;
  virtual double begin() const = 0;
  virtual double end() const = 0;
  /// Full state at begin() <= t <= end().
  virtual void at(double t, State& full) const = 0;
  /// Only the currents of that state, door by door, A; `scratch` is work space.
  virtual void currents_at(double t, State& scratch, PerDoor<double>& current) const {
    at(t, scratch);
    current.clear();
    for (std::size_t k = slot_current; k < scratch.size(); k += slots) current.push_back(scratch[k]);
  }
  /// Power on; otherwise a rest.
  virtual bool driven() const = 0;
  /// A door at both ends of a whole step of a driven stretch: node temperatures, degC, their rates, K/s, and
  /// its current, A. Valid while the segment is.
  struct DoorEnds {
    const double* first_C;
    const double* first_rate;
    const double* last_C;
    const double* last_rate;
    double first_A, last_A;
  };
  virtual DoorEnds door_ends(std::size_t door) const = 0;
  /// The largest current of a door in here, A; where it is not above `above`, any value that is not. Only for
  /// a whole step of a driven stretch.
  virtual double largest_current(std::size_t door, double above) const = 0;
  /// Only while driven: the doors' modes, and whether this is an unlock pulse.
  virtual const std::vector<DoorMode>& modes() const = 0;
  virtual bool unlocking() const = 0;
};

/// Looks at every segment of a study in order; sums, peaks and traces are observers.
class Observer {
 public:
  virtual ~Observer() = default;
  virtual void segment(const Segment& segment) = 0;
  /// Whether it takes the engine's steps whole, though currents may bend sharply inside; otherwise it gets
  /// them in pieces on which a cubic is good.
  virtual bool takes_whole_steps() const { return false; }
  /// At a pulse's end, before current and speed drop to zero.
  virtual void pulse_ended(double t, const State& full) {
    (void)t;
    (void)full;
  }
};

using Observers = std::vector<Observer*>;

}  // namespace latchwright::sim
