// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "model/study.h"
#include "reference/cvode/laws.h"
#include "reference/cvode/rod.h"

// The circuit and its doors as docs/model.md sections 1 to 4 state them, from the records of a checked job
// alone.
namespace latchwright::tests::cvode {

inline constexpr std::size_t most_nodes = 5;
/// Nodes of one door's heat network. `armature` is the copper where the part has copper and core apart; the
/// core stands last because most circuits have none.
enum Node : std::size_t { armature, casing, pill, shell, core };

struct Conditions {
  double voltage_V = 0;
  double ambient_C = 0;
  bool after_trip = false;
  double ptc_scale = 1;
};

/// What a door's modes are for a stretch between two events.
enum class Motion { held, moving, stopped };
struct DoorMode {
  Motion motion = Motion::held;
  bool blocked = false;   ///< the brush drop keeps the current at 0
  std::size_t piece = 0;  ///< of the rod
  double sign = 1;        ///< of the rod's whole force
};

struct DoorModel {
  std::string name;
  double branch = 0, inductance = 0, drop = 0;
  Copper winding;
  double torque_25 = 0, drift = 0;
  double friction_25 = 0, stiffening = 0, viscous = 0, inertia = 0;
  double pill_25 = 0;
  RatioCurve curve;
  double rod_per_rad = 0, efficiency = 1;
  RodPieces lock, unlock;
  bool split = false;
  double coil_weight = 1;  ///< of copper over core in the hottest coil
  double capacity[most_nodes] = {};
  double copper_core = 0, armature_casing = 0, casing_shell = 0, pill_shell = 0, pill_casing = 0,
         shell_air = 0;

  Sloped torque(double casing_C) const {
    return {torque_25 * (1 + drift * (casing_C - 25)), torque_25 * drift};
  }
  Sloped friction(double shell_C) const;
  Sloped pill_ohm(double T_C) const;
  double hot_coil(const double* T) const {
    return split && T[armature] > T[core] ? T[core] + coil_weight * (T[armature] - T[core]) : T[armature];
  }
  /// dT/dt and its derivative by T (row after row) without any heat.
  void conduct(const double* T, double ambient_C, double* out) const;
  template <class Add>
  void conduct_slopes(Add add) const;
  double pill_W_per_K() const;
};

struct Network {
  Conditions at;
  double shared = 0;    ///< ohm
  double internal = 0;  ///< ohm
  double source = 0;    ///< V, less what the other load takes before the relay
  std::vector<DoorModel> doors;
  std::size_t nodes = 4;  ///< of every door; 5 where some door has a core of its own
};

/// The chosen doors of a complete study (all when empty).
Network make_network(const model::Study& study, const Conditions& at,
                     const std::vector<std::size_t>& doors = {});

/// Currents of doors that stand, without inductance: drops the doors that would carry a negative current
/// until none does. Returns 1 + R_s sum(1/R) of those that conduct.
double standing_currents(const Network& network, const std::vector<double>& ohm,
                         std::vector<double>& current);

template <class Add>
void DoorModel::conduct_slopes(Add add) const {
  const auto link = [&](Node a, Node b, double W_per_K) {
    add(a, a, -W_per_K / capacity[a]);
    add(a, b, W_per_K / capacity[a]);
    add(b, b, -W_per_K / capacity[b]);
    add(b, a, W_per_K / capacity[b]);
  };
  if (split) {
    link(armature, core, copper_core);
    link(core, casing, armature_casing);
  } else {
    link(armature, casing, armature_casing);
  }
  link(casing, shell, casing_shell);
  link(pill, shell, pill_shell);
  link(pill, casing, pill_casing);
  add(shell, shell, -shell_air / capacity[shell]);
}

}  // namespace latchwright::tests::cvode
