// SPDX-License-Identifier: GPL-3.0-or-later
// Every job of tests/reference/cases against its expected results, which an independent implementation of
// docs/model.md computed with SciPy (Radau, relative tolerance 1e-10), at the accuracies of docs/model.md
// section 9.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "sim/cycle.h"
#include "sim/stall.h"
#include "support/change_cases.h"
#include "support/published.h"
#include "support/studies.h"

using namespace latchwright;
using nlohmann::json;

namespace {

const std::string folder = std::string(LATCHWRIGHT_SOURCE_DIR) + "/tests/reference/cases/";
const std::string job_ending = ".job.json";
const std::string expected_ending = ".expected.json";

std::vector<std::string> case_names() {
  std::vector<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    const std::string name = entry.path().filename().string();
    if (name.size() > job_ending.size() &&
        name.compare(name.size() - job_ending.size(), job_ending.size(), job_ending) == 0) {
      names.push_back(name.substr(0, name.size() - job_ending.size()));
    }
  }
  std::sort(names.begin(), names.end());
  return names;
}

// Accuracies of docs/model.md section 9.
enum class Accuracy { ratio, kelvin, rest };

double allowed(Accuracy accuracy, double want) {
  switch (accuracy) {
    case Accuracy::ratio:  // currents, times of trips and throws
      return 2e-3 * std::fabs(want);
    case Accuracy::kelvin:
      return 0.1;
    default:
      return std::max(0.01 * want, 0.02);
  }
}

std::string current_case;  // for docs/validation.md

/// Equal numbers that are counted.
void compare_count(const std::string& field, int have, int want) {
  tests::detail::write_down({{"case", current_case},
                             {"figure", field},
                             {"tool", have},
                             {"expected", want},
                             {"share", have == want ? 0 : 2}});
  INFO(field);
  CHECK(have == want);
}

/// A number that may be missing: both must be, or both there and near enough.
void compare(const std::string& field, const std::optional<double>& have, const json& want,
             Accuracy accuracy) {
  INFO(field << ": " << (have ? std::to_string(*have) : "none") << ", expected " << want.dump());
  REQUIRE(have.has_value() == !want.is_null());
  if (!have) return;
  const double off = std::fabs(*have - want.get<double>()), limit = allowed(accuracy, want.get<double>());
  const auto place = field.rfind(' ');  // "door final.case_C"
  const std::string door = place == std::string::npos ? "" : ", " + field.substr(0, place);
  tests::detail::write_down({{"case", current_case + door},
                             {"figure", place == std::string::npos ? field : field.substr(place + 1)},
                             {"tool", *have},
                             {"expected", want},
                             {"share", off == 0 ? 0 : off / limit}});
  CHECK(off <= limit);
}

const char* word(sim::LimitedBy limited_by) {
  return limited_by == sim::LimitedBy::thermistor ? "thermistor" : "winding";
}

void compare_final(const std::string& at, double winding_C, const physics::Temperatures& have,
                   const json& want) {
  compare(at + "final.winding_C", winding_C, want.at("winding_C"), Accuracy::kelvin);
  compare(at + "final.case_C", have[physics::motor_case], want.at("case_C"), Accuracy::kelvin);
  compare(at + "final.ptc_C", have[physics::ptc], want.at("ptc_C"), Accuracy::kelvin);
  compare(at + "final.housing_C", have[physics::housing], want.at("housing_C"), Accuracy::kelvin);
}

void compare_stall(const sim::Circuit& circuit, const json& args, const json& want) {
  base::NoProgress progress;
  const auto have = sim::simulate_stall(circuit, args.at("limit_s").get<double>(), {}, progress);
  REQUIRE(have.size() == want.at("doors").size());
  for (std::size_t k = 0; k < have.size(); ++k) {
    const json& door = want["doors"][k];
    CHECK(circuit.doors[k].name == door.at("door").get<std::string>());
    const std::string at = circuit.doors[k].name + " ";
    compare(at + "initial_current_A", have[k].initial_current_A, door.at("initial_current_A"),
            Accuracy::ratio);
    compare(at + "trip_time_s", have[k].trip_time_s, door.at("trip_time_s"), Accuracy::ratio);
    INFO(at << "limited_by");
    CHECK((have[k].limited_by == sim::LimitedBy::nothing) == door.at("limited_by").is_null());
    if (!door["limited_by"].is_null())
      CHECK(word(have[k].limited_by) == door["limited_by"].get<std::string>());
    compare(at + "final_current_A", have[k].final_current_A, door.at("final_current_A"), Accuracy::ratio);
    compare(at + "hold_current_A", have[k].hold_current_A, door.at("hold_current_A"), Accuracy::ratio);
    compare(at + "peak_winding_C", have[k].peak_winding_C, door.at("peak_winding_C"), Accuracy::kelvin);
    compare_final(at, have[k].final_winding_C, have[k].final_C, door.at("final"));
    CHECK(have[k].beyond_table == door.at("beyond_table").get<bool>());
  }
}

void compare_lockout(const sim::Circuit& circuit, const std::optional<sim::Lockout>& have, const json& want) {
  INFO("lockout, expected " << want.dump());
  REQUIRE(have.has_value() == !want.is_null());
  if (!have) return;
  compare_count("lockout throw", have->throw_number, want.at("throw").get<int>());
  std::vector<std::string> names;
  for (const std::size_t k : have->doors) names.push_back(circuit.doors[k].name);
  CHECK(names == want.at("doors").get<std::vector<std::string>>());
  REQUIRE(have->recovery.has_value());
  compare("recovery_s", have->recovery->recovery_s, want.at("recovery_s"), Accuracy::rest);
  compare("cooled_s", have->recovery->cooled_s, want.at("cooled_s"), Accuracy::rest);
}

void compare_cycle(const sim::Circuit& circuit, const model::Job& job, const json& args, const json& want) {
  const auto number = [&](const char* name, double own) {
    return args.at(name).is_null() ? own : args.at(name).get<double>();
  };
  sim::CyclePlan plan;
  plan.cycles = static_cast<int>(number("cycles", job.use.cycles));
  plan.on_s = number("on_s", job.pulse.on_s);
  plan.gap_s = number("gap_s", job.use.gap_s);
  plan.on_through = args.at("on_through").get<bool>();
  plan.want_recovery = true;
  base::NoProgress progress;
  const auto have = sim::simulate_cycles(circuit, plan, {}, progress);
  compare_count("cycles_done", have.cycles_done, want.at("cycles_done").get<int>());
  CHECK(sim::count_cycles(circuit, plan) == want.at("cycles_done").get<int>());
  compare_lockout(circuit, have.lockout, want.at("lockout"));
  REQUIRE(have.doors.size() == want.at("doors").size());
  for (std::size_t k = 0; k < have.doors.size(); ++k) {
    const json& door = want["doors"][k];
    CHECK(circuit.doors[k].name == door.at("door").get<std::string>());
    const std::string at = circuit.doors[k].name + " ";
    compare(at + "first_throw_s", have.doors[k].first_throw_s, door.at("first_throw_s"), Accuracy::ratio);
    compare(at + "last_throw_s", have.doors[k].last_throw_s, door.at("last_throw_s"), Accuracy::ratio);
    compare(at + "peak_current_A", have.doors[k].peak_current_A, door.at("peak_current_A"), Accuracy::ratio);
    compare(at + "peak_winding_C", have.doors[k].peak_winding_C, door.at("peak_winding_C"), Accuracy::kelvin);
    compare(at + "peak_ptc_C", have.doors[k].peak_ptc_C, door.at("peak_ptc_C"), Accuracy::kelvin);
    compare_final(at, have.doors[k].final_winding_C, have.doors[k].final_C, door.at("final"));
    CHECK(have.doors[k].beyond_table == door.at("beyond_table").get<bool>());
  }
}

std::vector<std::size_t> chosen_doors(const model::Job& job, const json& names) {
  std::vector<std::size_t> doors;
  if (names.is_null()) return doors;
  for (const auto& name : names) {
    const auto place = std::find_if(job.doors.begin(), job.doors.end(),
                                    [&](const model::Door& d) { return d.name == name.get<std::string>(); });
    REQUIRE(place != job.doors.end());
    doors.push_back(static_cast<std::size_t>(place - job.doors.begin()));
  }
  return doors;
}

void compare_study(const std::string& job_text, const json& expected) {
  const model::Study study = tests::study_of(job_text);
  const json& args = expected.at("args");
  sim::Condition at;
  at.voltage_V = args.at("voltage_V").get<double>();
  at.ambient_C = args.at("ambient_C").get<double>();
  at.after_trip = args.at("after_trip").get<bool>();
  const auto circuit = sim::make_circuit(study, at, chosen_doors(study.job, args.at("doors")));
  const std::string verb = expected.at("verb").get<std::string>();
  REQUIRE((verb == "stall" || verb == "cycle"));
  if (verb == "stall") {
    compare_stall(circuit, args, expected.at("result"));
  } else {
    compare_cycle(circuit, study.job, args, expected.at("result"));
  }
}

}  // namespace

TEST_CASE("reference cases: an independent implementation agrees", "[sim][reference]") {
  const auto names = case_names();
  REQUIRE(names.size() >= 10);
  for (const auto& name : names) {
    const json expected = json::parse(tests::read_text(folder + name + expected_ending));
    const json& studies = expected.at("studies");
    REQUIRE(!studies.empty());
    for (std::size_t k = 0; k < studies.size(); ++k) {
      DYNAMIC_SECTION(name << ", study " << k + 1) {
        INFO(name << ", study " << k + 1 << ": " << studies[k].at("verb") << " "
                  << studies[k].at("args").dump());
        current_case = name + ", study " + std::to_string(k + 1);
        compare_study(tests::read_text(folder + name + job_ending), studies[k]);
      }
    }
  }
}
