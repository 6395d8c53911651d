// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "bench/readings.h"
#include "model/parts.h"
#include "sim/circuit.h"

namespace latchwright::bench {

/// One actuator of a fixed set that fills the part's tolerances, and what was not read, evenly. Every member
/// counts the same.
struct Member {
  sim::Circuit circuit;       ///< by itself, at its own ambient; thermistor as after its own past
  double meter_ohm = 0;       ///< of the meter's own leads
  double held_s = 0;          ///< how long the power stayed on after it had tripped
  sim::Circuit loaded;        ///< the same with half of its cold force on its rod
  double winding_ohm = 0;     ///< at ambient
  double thermistor_ohm = 0;  ///< at ambient
  // Where it lies, 0..1, within what its state leaves open.
  double at_supply = 0;  ///< among the voltages
  double at_kind = 0;    ///< among what it did when its current was read
  double at_size = 0;    ///< among the currents of that
  double at_fault = 0;   ///< among how bad the fault is
  double at_film = 0;    ///< among what its brushes add to a meter's reading
  double at_use = 0;     ///< among the throws that were made where a number was told
  double at_rest = 0;    ///< among the rests of a short stretch

  double ambient_C() const { return circuit.at.ambient_C; }
  double loop_ohm() const { return winding_ohm + thermistor_ohm; }  ///< across the leads, cold
  const sim::DoorCircuit& door() const { return circuit.doors.front(); }
};

inline constexpr int member_count = 256;
// What is not read lies in here.
inline constexpr double least_meter_ohm = 0, most_meter_ohm = 0.5;
inline constexpr double least_ambient_C = 5, most_ambient_C = 35;

/// 6.3, 12.6 or 25.2 V: what gives the actuator a cold stall current nearest to an ordinary one. Parts do not
/// state it.
double nominal_voltage(const model::Actuator& actuator);

/// The set, or its first ones; of the readings only ambient and meter count. use_V: at its leads while it was
/// used.
std::vector<Member> make_members(const model::Actuator& actuator, const model::PtcCurve& curve,
                                 const Readings& readings, double use_V, int count = member_count);

}  // namespace latchwright::bench
