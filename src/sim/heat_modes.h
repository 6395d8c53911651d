// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Dense>
#include <vector>

#include "physics/heat_network.h"

namespace latchwright::sim {

/// One door's heat network in coordinates in which nothing is coupled: exact over any time, however quick a
/// node is (docs/model.md section 4).
class HeatModes {
 public:
  /// Throws base::InternalError where the network has no eigenvalues, which no lawful part brings about.
  explicit HeatModes(const physics::HeatNetwork& heat);

  /// Temperatures, degC, after `seconds` >= 0 without any heat put in; T and out are heat_nodes long and may
  /// be the same. An absent core keeps its value.
  void cooled(const double* T, double ambient_C, double seconds, double* out) const;
  /// The same with heat put in: watts + t watts_per_s into each node, W and W/s.
  void heated(const double* T, const double* watts, const double* watts_per_s, double ambient_C,
              double seconds, double* out) const;

  /// The longest time constant, s.
  double slowest_s() const { return 1 / rates_.minCoeff(); }

 private:
  /// Temperatures from the modes' weights.
  void put_together(const double* weight, double core_before, double ambient_C, double* out) const;

  std::vector<std::size_t> nodes_;  // those that the network has
  Eigen::VectorXd root_capacity_;
  Eigen::MatrixXd vectors_;
  Eigen::VectorXd rates_;  // 1/s, positive
};

}  // namespace latchwright::sim
