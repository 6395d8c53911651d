// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "bench/readings.h"
#include "bench/triage.h"

// What triage takes for granted: how often what is the matter, and how each state answers to what can be read
// without the model. Common practice, no source: nobody has counted it for this project.
namespace latchwright::bench {

inline constexpr std::size_t state_count = 8;
using PerState = std::array<double, state_count>;

/// In the order of State, so that a state's index is its place.
inline constexpr std::array<State, state_count> all_states = {State::sound,   State::waiting,   State::open,
                                                              State::shorted, State::seized,    State::worn,
                                                              State::supply,  State::end_switch};
inline std::size_t index_of(State state) { return static_cast<std::size_t>(state); }

/// What can be read, beside the ambient temperature.
enum class Reading { leads, meter, idle, used, supply, current, moves, frees };
inline constexpr std::array<Reading, 8> all_readings = {Reading::leads, Reading::meter,  Reading::idle,
                                                        Reading::used,  Reading::supply, Reading::current,
                                                        Reading::moves, Reading::frees};
/// "leads", as options and results write it.
const char* id_of(Reading reading);
bool is_given(Reading reading, const Readings& readings);
/// Trouble of a reading, in minutes of a fitter's time, the door trim counted in.
double trouble_min(Reading reading);

/// Of a suspicious actuator before anything is read; they add to 1. wires: 2 or 5 (only the latter has an end
/// switch).
PerState priors(int wires);

/// In the order of Moves; they add to 1.
const std::array<double, 3>& moves_chances(State state);
/// That it moves again after a wait.
double frees_chance(State state);
/// That a meter across the leads shows an open line.
double open_line_chance(State state);

/// Voltage at the actuator while energised, in bands that are shares of a 12 V vehicle's.
inline constexpr std::size_t supply_bands = 5;
const std::array<double, supply_bands>& supply_chances(State state);
/// Lower edges of the bands, then the upper end of the last one, V at 12.6 V nominal.
const std::array<double, supply_bands + 1>& supply_edges_V();
/// nominal_V: what the actuator is made for, see nominal_V().
std::size_t supply_band(double supply_V, double nominal_V);
/// The voltage below which a share u (0..1) of the state's voltages lies.
double supply_at(State state, double u, double nominal_V);

/// When an actuator that somebody looks at was last used, whatever its state but waiting.
struct IdleBin {
  double from_min, to_min, chance;
};
const std::vector<IdleBin>& idle_bins();
/// The same as single times; chances add to 1.
struct IdleNode {
  double minutes, chance;
  std::size_t bin;
};
const std::vector<IdleNode>& idle_nodes();

/// How many throws came just before.
struct UsedBin {
  int from, to, stands_for;
  double chance;
};
const std::vector<UsedBin>& used_bins();

}  // namespace latchwright::bench
