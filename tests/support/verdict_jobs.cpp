// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/verdict_jobs.h"

#include <stdexcept>

#include "io/json.h"
#include "model/study.h"
#include "support/catalogue.h"

namespace latchwright::tests {

std::string plain_job_json(int doors) {
  std::string text = R"({
  "latchwright_job": 1, "title": "plain job",
  "supply": {"internal_mohm": 20, "low_V": 9, "usual_V": 13, "charge_V": 14, "high_V": 15},
  "climate": {"cold_C": -15, "usual_C": 25, "hot_C": 65},
  "feed": {"length_m": 0, "wire": "w-feed", "fuse": "f-15", "relay": "r", "ground_mohm": 10, "hot_C": 45},
  "pulse": {"on_s": 0.5},
  "use": {"cycles": 10, "hot_cycles": 5, "gap_s": 1.0},
  "doors": [)";
  for (int k = 0; k < doors; ++k) {
    text += std::string(k ? "," : "") + R"(
    {"name": "door )" +
            std::to_string(k + 1) + R"(", "actuator": "a", "wire": "w-door", "branch_length_m": 0,
     "joints_mohm": 10, "stroke_mm": 18, "rod_force": {"shape": "steady", "peak_N": 20}})";
  }
  return text + R"(],
  "parts": [
    {"id": "w-feed", "kind": "wire", "title": "feed", "source": {"kind": "invented"}, "area_mm2": 2.0,
     "mohm_per_m": 10, "outside_mm": 2.8, "class_C": 100, "short_time_C": 160},
    {"id": "w-door", "kind": "wire", "title": "door run", "source": {"kind": "invented"}, "area_mm2": 1.0,
     "mohm_per_m": 20, "outside_mm": 2.1, "class_C": 100, "short_time_C": 160},
    {"id": "fam", "kind": "fuse_family", "title": "blade", "source": {"kind": "invented"},
     "multiples": [1.35, 2, 6], "min_s": [0.75, 0.15, 0.02], "max_s": [1800, 5, 0.1]},
    {"id": "f-15", "kind": "fuse", "title": "15 A", "source": {"kind": "invented"}, "rating_A": 15,
     "cold_mohm": 5, "rated_V": 32, "family": "fam", "colour": "blue"},
    {"id": "f-5", "kind": "fuse", "title": "5 A", "source": {"kind": "invented"}, "rating_A": 5,
     "cold_mohm": 20, "rated_V": 32, "family": "fam", "colour": "tan"},
    {"id": "a", "kind": "actuator", "title": "plain actuator", "source": {"kind": "invented"}, "stroke_mm": 20,
     "wires": 2,
     "motor": {"resistance_ohm": 0.05, "inductance_mH": 0.1, "torque_constant_mNm_per_A": 10, "brush_drop_V": 1,
       "friction_mNm": 2, "viscous_uNms": 0, "inertia_gcm2": 10, "magnet_drift_per_K": -0.002,
       "cold_stiffening_per_K": 0.02, "winding_class_C": 130},
     "drive": {"gear_ratio": 10, "lead_mm": 31.41592653589793, "efficiency": 0.5, "takeup_turns": 1,
       "stop_stiffness_N_per_mm": 60, "stop_damping_Ns_per_m": 20},
     "thermal": {"winding_J_per_K": 2000, "case_J_per_K": 5000, "housing_J_per_K": 20000,
       "winding_to_case_K_per_W": 1000, "case_to_housing_K_per_W": 1, "housing_to_ambient_K_per_W": 1},
     "ptc": {"resistance_ohm": 1.9, "heat_J_per_K": 200, "to_housing_mW_per_K": 2000, "to_case_mW_per_K": 0,
       "max_V": 30, "max_A": 40, "curve": {"T_C": [-40, 25, 100, 200], "ratio": [1, 1, 1, 1]}}},
    {"id": "r", "kind": "relay", "title": "relay", "source": {"kind": "invented"}, "contact_mohm": 2.5,
     "rated_A": 8}
  ]
})";
}

model::Study catalogue_study(const std::string& job_json) {
  const auto raw = io::parse_json(job_json, "test job");
  if (!raw.ok()) throw std::runtime_error("a test's job cannot be read");
  auto study = model::check_job(raw.value(), "test job", catalogue());
  if (study.ok()) return std::move(study.value());
  std::string text = "a test's job has faults:";
  for (const auto& issue : study.issues()) text += "\n" + issue.line();
  throw std::runtime_error(text);
}

Bench::Bench(const std::string& job_json, Parts parts)
    : study_(parts == Parts::catalogue ? catalogue_study(job_json) : study_of(job_json)),
      findings_(study_, quiet_) {}

Bench plain(const Changes& changes, int doors) {
  return {changed(plain_job_json(doors), changes), Parts::own};
}

verdict::CheckRow Bench::row(verdict::CheckId id, std::optional<std::size_t> door, const std::string& part,
                             std::optional<verdict::At> at) const {
  std::vector<verdict::CheckRow> found;
  for (const auto& row : rows(id)) {
    const bool here =
        !at || (row.at && row.at->voltage_V == at->voltage_V && row.at->ambient_C == at->ambient_C);
    if (row.door == door && row.part == part && here) found.push_back(row);
  }
  if (found.size() != 1) throw std::runtime_error("not one row but " + std::to_string(found.size()));
  return found.front();
}

verdict::CheckRow Bench::worst(verdict::CheckId id, std::optional<std::size_t> door,
                               const std::string& part) const {
  for (const auto& row : verdict::worst_rows(rows(id))) {
    if (row.door == door && row.part == part) return row;
  }
  throw std::runtime_error("no such row");
}

}  // namespace latchwright::tests
