// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cstddef>

#include "model/parts.h"

namespace latchwright::physics {

/// Nodes of an actuator's heat network. `core` counts only where the part gives copper and core apart, so it
/// is last.
enum HeatNode : std::size_t { winding, motor_case, ptc, housing, core };
inline constexpr std::size_t heat_nodes = 5;

using Temperatures = std::array<double, heat_nodes>;  ///< degC

/// Lumped heat network of one actuator, docs/model.md (4.1), (4.2).
///   law     C dT/dt = heat in - sum of conductance times temperature difference
///   nodes   winding - [core -] case - housing - ambient; thermistor to case and housing
///   limits  one temperature a node; conductances constant
class HeatNetwork {
 public:
  HeatNetwork(const model::Thermal& thermal, const model::Ptc& ptc);

  bool split() const { return split_; }
  /// How many of the nodes count, from the first.
  std::size_t size() const { return split_ ? heat_nodes : heat_nodes - 1; }
  double capacity(HeatNode node) const { return capacity_[node]; }          ///< J/K; 0 for an absent core
  double per_capacity(HeatNode node) const { return per_capacity_[node]; }  ///< K/J; 0 for an absent core
  double housing_to_ambient() const { return to_ambient_; }                 ///< W/K

  /// K/s of every node; heat: watts into each.
  void rates(const double* T, const double* heat, double ambient_C, double* out) const;

  /// Conductance between two nodes, W/K, symmetric; 0 where there is no link.
  double link(HeatNode a, HeatNode b) const { return link_[a][b]; }

  /// docs/model.md (4.3).
  /// Winding temperature that the verdicts mean: the hottest coil where copper and core are apart, else the
  /// mean. Copper that is colder than its core has no loss worth weighing: all coils are at T[winding].
  double hottest_coil(const double* T) const { return hottest_coil_rate(T, T); }
  /// Its rate at the temperatures T, from the nodes' rates, K/s.
  double hottest_coil_rate(const double* T, const double* rate) const {
    return split_ && T[winding] > T[core] ? rate[core] + hot_coil_weight_ * (rate[winding] - rate[core])
                                          : rate[winding];
  }

  /// K/W from thermistor to ambient in steady state with no heat elsewhere.
  double ptc_to_ambient() const;

 private:
  std::array<double, heat_nodes> capacity_{};
  std::array<double, heat_nodes> per_capacity_{};  // K/J; 0 for an absent core
  std::array<std::array<double, heat_nodes>, heat_nodes> link_{};
  bool split_ = false;
  double hot_coil_weight_ = 1;
  double copper_to_core_ = 0;  // conductances, W/K
  double armature_to_case_ = 0;
  double case_to_housing_ = 0;
  double ptc_to_housing_ = 0;
  double ptc_to_case_ = 0;
  double to_ambient_ = 0;
};

// Inline: the innermost loop of every study.
inline void HeatNetwork::rates(const double* T, const double* heat, double ambient_C, double* out) const {
  double from_armature, from_winding;
  if (split_) {
    from_winding = copper_to_core_ * (T[winding] - T[core]);
    from_armature = armature_to_case_ * (T[core] - T[motor_case]);
    out[core] = (heat[core] + from_winding - from_armature) * per_capacity_[core];
  } else {
    from_winding = from_armature = armature_to_case_ * (T[winding] - T[motor_case]);
    out[core] = 0;
  }
  const double from_case = case_to_housing_ * (T[motor_case] - T[housing]);
  const double ptc_housing = ptc_to_housing_ * (T[ptc] - T[housing]);
  const double ptc_case = ptc_to_case_ * (T[ptc] - T[motor_case]);
  const double from_housing = to_ambient_ * (T[housing] - ambient_C);
  out[winding] = (heat[winding] - from_winding) * per_capacity_[winding];
  out[motor_case] = (heat[motor_case] + from_armature - from_case + ptc_case) * per_capacity_[motor_case];
  out[ptc] = (heat[ptc] - ptc_housing - ptc_case) * per_capacity_[ptc];
  out[housing] = (heat[housing] + from_case + ptc_housing - from_housing) * per_capacity_[housing];
}

}  // namespace latchwright::physics
