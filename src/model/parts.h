// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <map>
#include <optional>
#include <string>
#include <variant>
#include <vector>

// Parts as records in SI units (degrees Celsius for temperatures). What each number means, its unit in a file and
// its permitted range stand once, in part_fields.cpp.
namespace latchwright::model {

struct Motor {
  double resistance = 0;             ///< ohm, winding at 25 degC
  double inductance = 0;             ///< H
  double torque_constant = 0;        ///< N·m/A = V·s/rad, at 25 degC
  double brush_drop = 0;             ///< V
  double friction = 0;               ///< N·m at the shaft, Coulomb, at 25 degC
  double viscous = 0;                ///< N·m·s
  double inertia = 0;                ///< kg·m²
  double magnet_drift_per_K = 0;     ///< 1/K
  double cold_stiffening_per_K = 0;  ///< 1/K
  double winding_class_C = 0;
  std::optional<double> winding_fault_C;
};

struct Drive {
  double gear_ratio = 0;
  double lead = 0;  ///< m per turn of the screw or pinion
  double efficiency = 0;
  double takeup_turns = 0;    ///< motor turns before the rod moves
  double stop_stiffness = 0;  ///< N/m
  double stop_damping = 0;    ///< N·s/m
};

struct Thermal {
  double winding_J_per_K = 0;
  double case_J_per_K = 0;
  double housing_J_per_K = 0;
  double winding_to_case_K_per_W = 0;
  double case_to_housing_K_per_W = 0;
  double housing_to_ambient_K_per_W = 0;
  // Option of docs/model.md section 4: copper and core apart. All three or none of the first two.
  std::optional<double> copper_J_per_K;
  std::optional<double> copper_to_core_K_per_W;
  std::optional<double> hot_coil_share;
};

struct PtcCurve {
  std::vector<double> T_C;
  std::vector<double> ratio;  ///< resistance over the value at 25 degC
};

struct Ptc {
  double resistance = 0;  ///< ohm, as new, at 25 degC
  double heat_J_per_K = 0;
  double to_housing_W_per_K = 0;
  double to_case_W_per_K = 0;
  double max_V = 0;
  double max_A = 0;
  std::variant<PtcCurve, std::string> curve;  ///< in place, or the id of a ptc_curve part
  double after_trip_ratio = 1;
};

struct Actuator {
  double stroke = 0;  ///< m
  int wires = 2;
  Motor motor;
  Drive drive;
  Thermal thermal;
  Ptc ptc;
  std::map<std::string, double> tolerance;  ///< pointer within the part -> relative half-width
};

struct Wire {
  double area = 0;       ///< m²
  double ohm_per_m = 0;  ///< at 20 degC
  double outside = 0;    ///< m, over the insulation
  double class_C = 0;
  double short_time_C = 0;
  double insulation_W_per_mK = 0;
};

struct Fuse {
  double rating_A = 0;
  double cold_ohm = 0;
  double rated_V = 0;
  std::string family;
  std::string colour;
};

struct FuseFamily {
  std::vector<double> multiples;
  std::vector<std::optional<double>> min_s;  ///< shortest permitted opening time; none: no gate
  std::vector<std::optional<double>> max_s;  ///< longest permitted opening time; none: no gate
  struct Derating {
    std::vector<double> T_C;
    std::vector<double> factor;
  };
  std::optional<Derating> derating;
};

struct Relay {
  double contact_ohm = 0;  ///< one contact
  double rated_A = 0;      ///< what it may switch into a stalled motor at 85 degC
};

struct Source {
  std::string kind;  ///< invented | standard | handbook | measured | datasheet
  std::string note;
};

struct Part {
  std::string id;
  std::string title;
  Source source;
  std::optional<double> price;
  std::variant<Actuator, PtcCurve, Wire, Fuse, FuseFamily, Relay> body;
};

/// "actuator", "ptc_curve", "wire", "fuse", "fuse_family", "relay": as written in a file.
const char* kind_of(const Part& part);

}  // namespace latchwright::model
