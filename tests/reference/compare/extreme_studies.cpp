// SPDX-License-Identifier: GPL-3.0-or-later
#include "reference/compare/extreme_studies.h"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "support/studies.h"

namespace latchwright::tests {

namespace {

struct Extreme {
  const char* name;
  Changes changes;
  sim::Condition at{12.6, 23};
  double on_s = 0.7;
  int doors = 1;
  double limit_s = 600;
};

std::vector<Extreme> extremes() {
  const std::string part = worked_actuator;
  const std::string motor = part + "/motor/", drive = part + "/drive/", ptc = part + "/ptc/",
                    thermal = part + "/thermal/";
  return {
      {"inductance 0.01 mH", {{motor + "inductance_mH", "0.01"}}},
      {"inductance 100 mH", {{motor + "inductance_mH", "100"}}},
      {"friction 100 mN·m", {{motor + "friction_mNm", "100"}}},
      {"no take-up, no friction", {{drive + "takeup_turns", "0"}, {motor + "friction_mNm", "0"}}},
      {"thermistor that never trips", {{ptc + "curve", flat_curve}}},
      {"air at the trip point, 120 °C", {}, {12.6, 120}},
      {"12 doors on a flat battery: 9 V behind 1 Ω", {{"/supply/internal_mohm", "1000"}}, {9, 23}, 0.7, 12},
      {"bump stop 10 000 N/mm, undamped",
       {{drive + "stop_stiffness_N_per_mm", "10000"}, {drive + "stop_damping_Ns_per_m", "0"}}},
      {"bump stop 10 000 N/mm and 10 000 N·s/m",
       {{drive + "stop_stiffness_N_per_mm", "10000"}, {drive + "stop_damping_Ns_per_m", "10000"}}},
      {"bump stop that creeps for seconds: 1 N/mm and 10 000 N·s/m",
       {{drive + "stop_stiffness_N_per_mm", "1"}, {drive + "stop_damping_Ns_per_m", "10000"}},
       {12.6, 23},
       10},
      {"thermistor of 0.005 J/K", {{ptc + "heat_J_per_K", "0.005"}}},
      {"thermistor of 0.03 J/K behind 40 mH",
       {{ptc + "heat_J_per_K", "0.03"}, {motor + "inductance_mH", "40"}}},
      {"armature of 0.05 J/K, 1 K/W to the case",
       {{thermal + "winding_J_per_K", "0.05"}, {thermal + "winding_to_case_K_per_W", "1"}}},
      {"rotor of 0.05 g·cm², torque 0.2 N·m/A",
       {{motor + "inertia_gcm2", "0.05"}, {motor + "torque_constant_mNm_per_A", "200"}},
       {12.6, 23},
       10},
  };
}

}  // namespace

std::vector<ExtremeRow> extreme_rows() {
  std::vector<ExtremeRow> rows;
  for (const Extreme& extreme : extremes()) {
    StudyCase study;
    study.name = extreme.name;
    study.study = worked_study(extreme.doors, extreme.changes);
    study.at = extreme.at;
    study.limit_s = extreme.limit_s;
    study.plan.on_s = extreme.on_s;
    ExtremeRow row{extreme.name, study, study};
    row.stall.verb = StudyCase::Verb::stall;
    row.cycles.verb = StudyCase::Verb::cycles;
    rows.push_back(std::move(row));
  }
  return rows;
}

ExtremeResult compare(const ExtremeRow& row) {
  ExtremeResult result{compare(row.stall), compare(row.cycles)};
  for (const Outcome* outcome : {&result.stall, &result.cycles}) {
    for (const Held& held : outcome->figures) result.largest = std::max(result.largest, held.deviation);
  }
  return result;
}

const Held* ExtremeResult::find(const char* what) const {
  for (const Outcome* outcome : {&stall, &cycles}) {
    for (const Held& held : outcome->figures) {
      if (held.engine.what == what) return &held;
    }
  }
  return nullptr;
}

std::string extremes_json(bool& good) {
  using Json = nlohmann::ordered_json;
  const auto number = [](const std::optional<double>& value) { return value ? Json(*value) : Json(); };
  Json rows = Json::array();
  for (const ExtremeRow& row : extreme_rows()) {
    const ExtremeResult result = compare(row);
    Json out{{"what", row.name}, {"largest", result.largest}, {"figures", Json::object()}};
    for (const char* what : {"first_throw_s", "trip_time_s", "final_winding_C", "cycles_done"}) {
      const Held* held = result.find(what);
      if (held == nullptr) continue;
      out["figures"][what] = {number(held->engine.value), number(held->reference.value)};
    }
    for (const Outcome* outcome : {&result.stall, &result.cycles}) {
      for (const Held& held : outcome->wrong) {
        good = false;
        fmt::print("{}\n", held.text());
      }
    }
    rows.push_back(std::move(out));
  }
  return rows.dump(2) + "\n";
}

}  // namespace latchwright::tests
