// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/heat_modes.h"

#include <cmath>

#include "base/failure.h"

namespace latchwright::sim {

using physics::heat_nodes;
using physics::HeatNode;

namespace {

/// (1 - e^-z)/z and (1 - that)/z, z >= 0: what heat that stays, and heat that grows with time, has left.
void left_over(double z, double& staying, double& growing) {
  constexpr double small = 0.02;
  if (z < small) {
    staying = 1 - z / 2 * (1 - z / 3 * (1 - z / 4 * (1 - z / 5)));
    growing = 0.5 - z / 6 * (1 - z / 4 * (1 - z / 5 * (1 - z / 6)));
  } else {
    staying = -std::expm1(-z) / z;
    growing = (1 - staying) / z;
  }
}

}  // namespace

HeatModes::HeatModes(const physics::HeatNetwork& heat) {
  for (std::size_t n = 0; n < heat_nodes; ++n) {
    if (heat.capacity(static_cast<HeatNode>(n)) > 0) nodes_.push_back(n);
  }
  const auto size = static_cast<Eigen::Index>(nodes_.size());
  const auto node = [&](Eigen::Index k) {
    return static_cast<HeatNode>(nodes_[static_cast<std::size_t>(k)]);
  };
  root_capacity_.resize(size);
  for (Eigen::Index a = 0; a < size; ++a) root_capacity_[a] = std::sqrt(heat.capacity(node(a)));
  // docs/model.md (4.4): C^-1/2 G C^-1/2 is symmetric and positive: its eigenvectors decouple the nodes.
  Eigen::MatrixXd matrix = Eigen::MatrixXd::Zero(size, size);
  for (Eigen::Index a = 0; a < size; ++a) {
    if (node(a) == physics::housing) matrix(a, a) += heat.housing_to_ambient();
    for (Eigen::Index b = 0; b < size; ++b) {
      if (a == b) continue;
      matrix(a, a) += heat.link(node(a), node(b));
      matrix(a, b) -= heat.link(node(a), node(b));
    }
  }
  for (Eigen::Index a = 0; a < size; ++a) {
    for (Eigen::Index b = 0; b < size; ++b) matrix(a, b) /= root_capacity_[a] * root_capacity_[b];
  }
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver(matrix);
  base::require(solver.info() == Eigen::Success, "a heat network has no eigenvalues");
  vectors_ = solver.eigenvectors();
  rates_ = solver.eigenvalues();
}

void HeatModes::put_together(const double* weight, double core_before, double ambient_C, double* to) const {
  const auto size = static_cast<Eigen::Index>(nodes_.size());
  for (Eigen::Index k = 0; k < size; ++k) {
    double sum = 0;
    for (Eigen::Index m = 0; m < size; ++m) sum += vectors_(k, m) * weight[m];
    to[nodes_[static_cast<std::size_t>(k)]] = ambient_C + sum / root_capacity_[k];
  }
  if (nodes_.size() < heat_nodes) to[physics::core] = core_before;  // an absent core counts for nothing
}

void HeatModes::cooled(const double* from, double ambient_C, double seconds, double* to) const {
  double weight[heat_nodes] = {};
  const auto size = static_cast<Eigen::Index>(nodes_.size());
  for (Eigen::Index m = 0; m < size; ++m) {
    double sum = 0;
    for (Eigen::Index k = 0; k < size; ++k) {
      sum += vectors_(k, m) * root_capacity_[k] * (from[nodes_[static_cast<std::size_t>(k)]] - ambient_C);
    }
    weight[m] = sum * std::exp(-rates_[m] * seconds);
  }
  put_together(weight, from[physics::core], ambient_C, to);
}

// docs/model.md (4.5)
void HeatModes::heated(const double* from, const double* watts, const double* watts_per_s, double ambient_C,
                       double seconds, double* to) const {
  double weight[heat_nodes] = {};
  const auto size = static_cast<Eigen::Index>(nodes_.size());
  for (Eigen::Index m = 0; m < size; ++m) {
    double start = 0, put_in = 0, growth = 0;
    for (Eigen::Index k = 0; k < size; ++k) {
      const std::size_t n = nodes_[static_cast<std::size_t>(k)];
      const double share = vectors_(k, m), root = root_capacity_[k];
      start += share * root * (from[n] - ambient_C);
      put_in += share * watts[n] / root;
      growth += share * watts_per_s[n] / root;
    }
    const double z = rates_[m] * seconds;
    double staying, growing;
    left_over(z, staying, growing);
    weight[m] = start * std::exp(-z) + seconds * (put_in * staying + seconds * growth * growing);
  }
  put_together(weight, from[physics::core], ambient_C, to);
}

}  // namespace latchwright::sim
