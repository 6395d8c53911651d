// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

// The worked case of docs/model.md section 10 as a job that travels alone.
namespace latchwright::tests {

/// `doors` equal doors; `extra` goes into the job beside the rest (JSON members, each with a comma behind it).
inline std::string worked_case_json(int doors = 1, const std::string& extra = "") {
  std::string text = R"({
  "latchwright_job": 1,
  "title": "worked case",)" + extra + R"(
  "supply": {"internal_mohm": 15},
  "climate": {"cold_C": -20, "usual_C": 23, "hot_C": 75},
  "feed": {"length_m": 3.2, "wire": "w-2.5", "fuse": "f-15", "relay": "r", "ground_mohm": 5},
  "pulse": {"on_s": 0.7},
  "use": {"cycles": 10, "hot_cycles": 5, "gap_s": 1.0},
  "doors": [)";
  for (int k = 0; k < doors; ++k) {
    text += std::string(k ? "," : "") + R"(
    {"name": "door )" + std::to_string(k + 1) + R"(", "actuator": "a", "wire": "w-1", "branch_length_m": 2.4,
     "joints_mohm": 10, "stroke_mm": 18, "rod_force": {"shape": "steady", "peak_N": 22}})";
  }
  text += R"(],
  "parts": [
    {"id": "w-2.5", "kind": "wire", "title": "feed", "source": {"kind": "invented"}, "area_mm2": 2.5,
     "mohm_per_m": 7.6, "outside_mm": 3.0, "class_C": 85, "short_time_C": 160},
    {"id": "w-1", "kind": "wire", "title": "branch", "source": {"kind": "invented"}, "area_mm2": 1.0,
     "mohm_per_m": 18.5, "outside_mm": 2.1, "class_C": 85, "short_time_C": 160},
    {"id": "fam", "kind": "fuse_family", "title": "blade", "source": {"kind": "invented"},
     "multiples": [1.35, 2, 3.5, 6], "min_s": [0.75, 0.15, 0.04, 0.02], "max_s": [1800, 5, 0.5, 0.15]},
    {"id": "f-15", "kind": "fuse", "title": "15 A", "source": {"kind": "invented"}, "rating_A": 15,
     "cold_mohm": 4.8, "rated_V": 32, "family": "fam", "colour": "blue"},
    {"id": "r", "kind": "relay", "title": "relay", "source": {"kind": "invented"}, "contact_mohm": 3,
     "rated_A": 30},
    {"id": "a", "kind": "actuator", "title": "worked actuator", "source": {"kind": "invented"}, "stroke_mm": 19,
     "wires": 2,
     "motor": {"resistance_ohm": 1.9, "inductance_mH": 1.2, "torque_constant_mNm_per_A": 9.5, "brush_drop_V": 0.8,
       "friction_mNm": 1.5, "viscous_uNms": 0.1, "inertia_gcm2": 12, "magnet_drift_per_K": -0.002,
       "cold_stiffening_per_K": 0.02, "winding_class_C": 130},
     "drive": {"gear_ratio": 8, "lead_mm": 15, "efficiency": 0.5, "takeup_turns": 1, "stop_stiffness_N_per_mm": 60,
       "stop_damping_Ns_per_m": 20},
     "thermal": {"winding_J_per_K": 12, "case_J_per_K": 25, "housing_J_per_K": 60, "winding_to_case_K_per_W": 8,
       "case_to_housing_K_per_W": 6, "housing_to_ambient_K_per_W": 5},
     "ptc": {"resistance_ohm": 0.35, "heat_J_per_K": 0.6, "to_housing_mW_per_K": 18, "to_case_mW_per_K": 5,
       "max_V": 30, "max_A": 40, "curve": {
         "T_C": [-40, 0, 25, 60, 80, 100, 110, 120, 125, 130, 140, 150],
         "ratio": [0.8, 0.92, 1, 1.3, 1.7, 3, 6, 30, 200, 1000, 5000, 8000]}}}
  ]
})";
  return text;
}

}  // namespace latchwright::tests
