// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/rest.h"

#include <algorithm>
#include <cmath>

#include "base/failure.h"

namespace latchwright::sim {

using physics::heat_nodes;
using physics::HeatNode;

Rest::Rest(const Circuit& circuit) : ambient_C_(circuit.at.ambient_C) {
  for (const auto& door : circuit.doors) {
    Modes modes;
    for (std::size_t n = 0; n < heat_nodes; ++n) {
      if (door.heat.capacity(static_cast<HeatNode>(n)) > 0) modes.nodes.push_back(n);
    }
    const auto size = static_cast<Eigen::Index>(modes.nodes.size());
    const auto node = [&](Eigen::Index k) {
      return static_cast<HeatNode>(modes.nodes[static_cast<std::size_t>(k)]);
    };
    modes.root_capacity.resize(size);
    for (Eigen::Index a = 0; a < size; ++a) modes.root_capacity[a] = std::sqrt(door.heat.capacity(node(a)));
    // docs/model.md (4.4): C^-1/2 G C^-1/2 is symmetric and positive: its eigenvectors decouple the nodes.
    Eigen::MatrixXd matrix = Eigen::MatrixXd::Zero(size, size);
    for (Eigen::Index a = 0; a < size; ++a) {
      if (node(a) == physics::housing) matrix(a, a) += door.heat.housing_to_ambient();
      for (Eigen::Index b = 0; b < size; ++b) {
        if (a == b) continue;
        matrix(a, a) += door.heat.link(node(a), node(b));
        matrix(a, b) -= door.heat.link(node(a), node(b));
      }
    }
    for (Eigen::Index a = 0; a < size; ++a) {
      for (Eigen::Index b = 0; b < size; ++b) matrix(a, b) /= modes.root_capacity[a] * modes.root_capacity[b];
    }
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver(matrix);
    base::require(solver.info() == Eigen::Success, "a heat network has no eigenvalues");
    modes.vectors = solver.eigenvectors();
    modes.rates = solver.eigenvalues();
    doors_.push_back(std::move(modes));
  }
}

void Rest::after(const std::vector<double>& temperatures, double seconds, std::vector<double>& out) const {
  out.resize(temperatures.size());
  for (std::size_t d = 0; d < doors_.size(); ++d) {
    door_after(d, temperatures.data() + d * heat_nodes, seconds, out.data() + d * heat_nodes);
  }
}

void Rest::door_after(std::size_t door, const double* from, double seconds, double* to) const {
  double weight[heat_nodes];
  const Modes& modes = doors_[door];
  const auto size = static_cast<Eigen::Index>(modes.nodes.size());
  for (Eigen::Index m = 0; m < size; ++m) {
    double sum = 0;
    for (Eigen::Index k = 0; k < size; ++k) {
      sum += modes.vectors(k, m) * modes.root_capacity[k] *
             (from[modes.nodes[static_cast<std::size_t>(k)]] - ambient_C_);
    }
    weight[m] = sum * std::exp(-modes.rates[m] * seconds);
  }
  const double core_before = from[physics::core];
  for (Eigen::Index k = 0; k < size; ++k) {
    double sum = 0;
    for (Eigen::Index m = 0; m < size; ++m) sum += modes.vectors(k, m) * weight[m];
    to[modes.nodes[static_cast<std::size_t>(k)]] = ambient_C_ + sum / modes.root_capacity[k];
  }
  if (static_cast<std::size_t>(size) < heat_nodes)
    to[physics::core] = core_before;  // an absent core counts for nothing
}

double Rest::slowest_s() const {
  double slowest = 0;
  for (const auto& modes : doors_) slowest = std::max(slowest, 1 / modes.rates.minCoeff());
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
