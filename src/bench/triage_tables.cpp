// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/triage_tables.h"

#include <algorithm>
#include <cmath>

namespace latchwright::bench {

namespace {

/// One row a state. Common practice, no source (docs/model.md section 11 shows the same table).
struct Row {
  State state;
  double prior;                 // of a five-wire actuator
  std::array<double, 3> moves;  // both, one, neither
  double frees;                 // moves again after a wait
  double open_line;             // a meter shows an open line
  std::array<double, supply_bands> supply;
};

// Voltages of a supply that is in order, and of one that is not; a short pulls it down or has blown the fuse.
constexpr std::array<double, supply_bands> steady = {0.01, 0.02, 0.06, 0.90, 0.01};
constexpr std::array<double, supply_bands> faulty = {0.50, 0.34, 0.10, 0.05, 0.01};
constexpr std::array<double, supply_bands> pulled = {0.30, 0.40, 0.15, 0.14, 0.01};

constexpr std::array<Row, state_count> rows = {{
    {State::sound, 0.12, {0.93, 0.05, 0.02}, 0.95, 0.005, steady},
    {State::waiting, 0.20, {0.02, 0.08, 0.90}, 0.95, 0.005, steady},
    {State::open, 0.15, {0.005, 0.045, 0.95}, 0.04, 0.90, steady},
    {State::shorted, 0.03, {0.02, 0.03, 0.95}, 0.03, 0.005, pulled},
    {State::seized, 0.14, {0.02, 0.28, 0.70}, 0.12, 0.005, steady},
    {State::worn, 0.12, {0.25, 0.25, 0.50}, 0.45, 0.03, steady},
    {State::supply, 0.17, {0.05, 0.35, 0.60}, 0.10, 0.005, faulty},
    {State::end_switch, 0.07, {0.60, 0.30, 0.10}, 0.85, 0.005, steady},
}};

const Row& row(State state) { return rows[index_of(state)]; }

// A 12 V vehicle: dead, weak, low, as it should be, too much.
constexpr std::array<double, supply_bands + 1> edges_V = {0, 0.5, 9, 11, 14.8, 18};
constexpr double edges_nominal_V = 12.6;

}  // namespace

const char* id_of(Reading reading) {
  switch (reading) {
    case Reading::leads:
      return "leads";
    case Reading::meter:
      return "meter";
    case Reading::idle:
      return "idle";
    case Reading::used:
      return "used";
    case Reading::supply:
      return "supply";
    case Reading::current:
      return "current";
    case Reading::moves:
      return "moves";
    case Reading::frees:
      return "frees";
  }
  return "";
}

bool is_given(Reading reading, const Readings& r) {
  switch (reading) {
    case Reading::leads:
      return r.leads_ohm.has_value();
    case Reading::meter:
      return r.meter_ohm.has_value();
    case Reading::idle:
      return r.idle_min.has_value();
    case Reading::used:
      return r.used.has_value();
    case Reading::supply:
      return r.supply_V.has_value();
    case Reading::current:
      return r.current_A.has_value();
    case Reading::moves:
      return r.moves.has_value();
    case Reading::frees:
      return r.frees.has_value();
  }
  return false;
}

double trouble_min(Reading reading) {
  // Common practice, no source.
  switch (reading) {
    case Reading::idle:
    case Reading::used:
    case Reading::meter:
    case Reading::moves:
      return 0.5;
    case Reading::frees:
      return 5;
    case Reading::supply:
    case Reading::current:
      return 6;
    case Reading::leads:
      return 8;
  }
  return 1;
}

PerState priors(int wires) {
  PerState chances{};
  double sum = 0;
  for (const State state : all_states) {
    if (state == State::end_switch && wires != 5) continue;
    sum += chances[index_of(state)] = row(state).prior;
  }
  for (double& chance : chances) chance /= sum;
  return chances;
}

const std::array<double, 3>& moves_chances(State state) { return row(state).moves; }
double frees_chance(State state) { return row(state).frees; }
double open_line_chance(State state) { return row(state).open_line; }

const std::array<double, supply_bands>& supply_chances(State state) { return row(state).supply; }
const std::array<double, supply_bands + 1>& supply_edges_V() { return edges_V; }

std::size_t supply_band(double supply_V, double nominal_V) {
  const double as_12_V = supply_V * edges_nominal_V / nominal_V;
  std::size_t band = 0;
  while (band + 1 < supply_bands && as_12_V >= edges_V[band + 1]) ++band;
  return band;
}

double supply_at(State state, double u, double nominal_V) {
  const auto& chances = supply_chances(state);
  std::size_t band = 0;
  while (band + 1 < supply_bands && u > chances[band]) u -= chances[band++];
  const double share = std::clamp(u / chances[band], 0.0, 1.0);
  return (edges_V[band] + share * (edges_V[band + 1] - edges_V[band])) * nominal_V / edges_nominal_V;
}

const std::vector<IdleBin>& idle_bins() {
  static const std::vector<IdleBin> bins = {{0, 0.1, 0.20}, {0.1, 0.5, 0.15}, {0.5, 2, 0.15},  {2, 5, 0.10},
                                            {5, 15, 0.10},  {15, 60, 0.10},   {60, 1440, 0.20}};
  return bins;
}

const std::vector<IdleNode>& idle_nodes() {
  static const std::vector<IdleNode> nodes = [] {
    constexpr int per_bin = 6;
    std::vector<IdleNode> made;
    for (std::size_t b = 0; b < idle_bins().size(); ++b) {
      const IdleBin& bin = idle_bins()[b];
      for (int k = 0; k < per_bin; ++k) {
        const double share = (k + 0.5) / per_bin;
        const double minutes =
            bin.from_min > 0 ? bin.from_min * std::pow(bin.to_min / bin.from_min, share) : bin.to_min * share;
        made.push_back({minutes, bin.chance / per_bin, b});
      }
    }
    return made;
  }();
  return nodes;
}

const std::vector<UsedBin>& used_bins() {
  static const std::vector<UsedBin> bins = {{0, 0, 0, 0.15},  {1, 2, 2, 0.30},    {3, 5, 4, 0.20},
                                            {6, 10, 8, 0.15}, {11, 20, 15, 0.12}, {21, 1000, 30, 0.08}};
  return bins;
}

}  // namespace latchwright::bench
