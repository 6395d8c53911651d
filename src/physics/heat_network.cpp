// SPDX-License-Identifier: GPL-3.0-or-later
#include "physics/heat_network.h"

namespace latchwright::physics {

HeatNetwork::HeatNetwork(const model::Thermal& thermal, const model::Ptc& ptc_part)
    : split_(thermal.copper_J_per_K.has_value()),
      armature_to_case_(1 / thermal.winding_to_case_K_per_W),
      case_to_housing_(1 / thermal.case_to_housing_K_per_W),
      ptc_to_housing_(ptc_part.to_housing_W_per_K),
      ptc_to_case_(ptc_part.to_case_W_per_K),
      to_ambient_(1 / thermal.housing_to_ambient_K_per_W) {
  capacity_[winding] = split_ ? *thermal.copper_J_per_K : thermal.winding_J_per_K;
  capacity_[core] = split_ ? thermal.winding_J_per_K - *thermal.copper_J_per_K : 0;
  capacity_[motor_case] = thermal.case_J_per_K;
  capacity_[ptc] = ptc_part.heat_J_per_K;
  capacity_[housing] = thermal.housing_J_per_K;
  for (std::size_t n = 0; n < heat_nodes; ++n) per_capacity_[n] = capacity_[n] > 0 ? 1 / capacity_[n] : 0;
  if (split_) {
    copper_to_core_ = 1 / *thermal.copper_to_core_K_per_W;
    // Three coils: share 1/3 each is even, and then the hottest coil is the copper's mean.
    hot_coil_weight_ = 3 * thermal.hot_coil_share.value_or(1.0 / 3.0);
  }
  const auto tie = [this](HeatNode a, HeatNode b, double conductance) {
    link_[a][b] = link_[b][a] = conductance;
  };
  if (split_) tie(winding, core, copper_to_core_);
  tie(split_ ? core : winding, motor_case, armature_to_case_);
  tie(motor_case, housing, case_to_housing_);
  tie(motor_case, ptc, ptc_to_case_);
  tie(ptc, housing, ptc_to_housing_);
}

// docs/model.md (5.2)
double HeatNetwork::ptc_to_ambient() const {
  // The armature hangs on the case and carries nothing in steady state.
  const double by_case = ptc_to_case_ > 0 ? 1 / (1 / ptc_to_case_ + 1 / case_to_housing_) : 0;
  return 1 / (ptc_to_housing_ + by_case) + 1 / to_ambient_;
}

}  // namespace latchwright::physics
