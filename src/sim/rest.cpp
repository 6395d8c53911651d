// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/rest.h"

#include <algorithm>

namespace latchwright::sim {

using physics::heat_nodes;

Rest::Rest(const Circuit& circuit) : ambient_C_(circuit.at.ambient_C) {
  for (const auto& door : circuit.doors) doors_.emplace_back(door.heat);
}

void Rest::after(const std::vector<double>& temperatures, double seconds, std::vector<double>& out) const {
  out.resize(temperatures.size());
  for (std::size_t d = 0; d < doors_.size(); ++d) {
    door_after(d, temperatures.data() + d * heat_nodes, seconds, out.data() + d * heat_nodes);
  }
}

void Rest::door_after(std::size_t door, const double* from, double seconds, double* to) const {
  doors_[door].cooled(from, ambient_C_, seconds, to);
}

double Rest::slowest_s() const {
  double slowest = 0;
  for (const HeatModes& modes : doors_) slowest = std::max(slowest, modes.slowest_s());
  return slowest;
}

EqualRests::EqualRests(const Rest& rest, std::size_t doors, double ambient_C, double seconds)
    : ambient_C_(ambient_C), doors_(doors) {
  // What one kelvin above ambient in one node becomes is one column.
  for (std::size_t d = 0; d < doors; ++d) {
    for (std::size_t column = 0; column < heat_nodes; ++column) {
      std::array<double, heat_nodes> T;
      T.fill(ambient_C);
      T[column] += 1;
      rest.door_after(d, T.data(), seconds, T.data());
      for (std::size_t row = 0; row < heat_nodes; ++row) doors_[d][column][row] = T[row] - ambient_C;
    }
  }
}

void EqualRests::after(const std::vector<double>& temperatures, std::vector<double>& out) const {
  out.resize(temperatures.size());
  for (std::size_t d = 0; d < doors_.size(); ++d) {
    double sum[heat_nodes] = {};
    for (std::size_t column = 0; column < heat_nodes; ++column) {
      const double rise = temperatures[d * heat_nodes + column] - ambient_C_;
      for (std::size_t row = 0; row < heat_nodes; ++row) sum[row] += doors_[d][column][row] * rise;
    }
    for (std::size_t row = 0; row < heat_nodes; ++row) out[d * heat_nodes + row] = ambient_C_ + sum[row];
  }
}

void RestSegment::at(double t, State& full) const {
  const std::size_t doors = temperatures_.size() / heat_nodes;
  full.resize(doors * slots);
  for (std::size_t k = 0; k < doors; ++k) {
    const double* from = temperatures_.data() + k * heat_nodes;
    double* s = full.data() + k * slots;
    s[slot_current] = s[slot_speed] = s[slot_angle] = 0;
    if (t > begin_) {
      rest_.door_after(k, from, t - begin_, s + slot_temperature);
    } else {
      std::copy_n(from, heat_nodes, s + slot_temperature);
    }
  }
}

}  // namespace latchwright::sim
