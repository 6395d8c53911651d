// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/cure_trial.h"

#include <algorithm>
#include <catch2/catch.hpp>

namespace latchwright::tests {

using verdict::Verdict;

std::string cure_job_json(const Changes& changes) {
  const std::string sound = R"({
  "latchwright_job": 1, "title": "sound job",
  "climate": {"cold_C": -20, "usual_C": 23, "hot_C": 60},
  "feed": {"length_m": 3, "wire": "wire-2.5", "fuse": "fuse-medium-10", "relay": "relay-20", "hot_C": 60},
  "doors": [ {"name": "door 1", "actuator": "act-ordinary-2w", "wire": "wire-1.0", "fuse": "fuse-medium-7.5",
    "branch_length_m": 2.4, "stroke_mm": 18, "rod_force": {"shape": "steady", "peak_N": 18}} ],
  "pulse": {"on_s": 0.4},
  "use": {"cycles": 8, "hot_cycles": 4, "gap_s": 1.0},
  "parts": []
})";
  return changed(sound, changes);
}

namespace {

/// A job's whole numbers stay whole.
std::string whole(std::string json) {
  if (json.find('"') == std::string::npos && json.find('.') != std::string::npos) {
    json.erase(json.find_last_not_of('0') + 1);
    if (json.back() == '.') json.pop_back();
  }
  return json;
}

}  // namespace

std::string setting_json(const verdict::Setting& setting) {
  if (const auto* number = std::get_if<double>(&setting)) return whole(std::to_string(*number));
  return "\"" + std::get<std::string>(setting) + "\"";
}

Trial::Trial(std::string job_json, verdict::CheckId id, std::optional<std::size_t> door, std::string part)
    : job_json_(std::move(job_json)),
      id_(id),
      door_(door),
      part_(std::move(part)),
      bench_(job_json_, Parts::catalogue),
      row_(bench_.worst(id_, door_, part_)),
      change_(verdict::find_cure(row_, bench_.findings())) {}

std::string Trial::passes_at() const { return setting_json(change_->passes_at); }

Verdict Trial::verdict_with(const std::string& json) const {
  return Bench(changed(job_json_, {{change_->pointer, whole(json)}}), Parts::catalogue)
      .worst(id_, door_, part_)
      .verdict;
}

void check_cures(const Trial& trial, const std::string& pointer) {
  CAPTURE(trial.row().why);
  REQUIRE(trial.row().verdict != Verdict::holds);
  REQUIRE(trial.change().has_value());
  CAPTURE(trial.change()->text);
  REQUIRE(trial.change()->pointer == pointer);
  const Verdict after = trial.verdict_with(trial.passes_at());
  if (trial.row().verdict == Verdict::fails) {
    CHECK(after != Verdict::fails);
  } else {
    CHECK(after == Verdict::holds);
  }
}

void check_thicker(const Trial& trial, const std::string& pointer, int between_at_least) {
  check_cures(trial, pointer);
  const std::string now = std::get<std::string>(trial.change()->now);
  const std::string make = now.substr(0, now.find('-') + 1);
  int thinner = 0;
  for (const auto& id : trial.between<model::Wire>([](const model::Wire& wire) { return wire.area; })) {
    const bool same_make =
        id.starts_with(make) && id.find_first_not_of("0123456789.", make.size()) == std::string::npos;
    if (!same_make) continue;
    CAPTURE(id);
    CHECK(trial.verdict_with("\"" + id + "\"") == trial.row().verdict);
    ++thinner;
  }
  CHECK(thinner >= between_at_least);
}

}  // namespace latchwright::tests
