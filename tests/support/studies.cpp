// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/studies.h"

#include <nlohmann/json.hpp>
#include <stdexcept>

#include "io/json.h"
#include "support/worked_case.h"

namespace latchwright::tests {

const char* const flat_curve = R"({"T_C": [-40, 25, 100, 200], "ratio": [1, 1, 1, 1]})";

namespace {

[[noreturn]] void fail(const base::Issues& issues) {
  std::string text = "a test's job has faults:";
  for (const auto& issue : issues) text += "\n" + issue.line();
  throw std::runtime_error(text);
}

}  // namespace

model::Study study_of(const std::string& job_json) {
  const auto raw = io::parse_json(job_json, "test job");
  if (!raw.ok()) fail(raw.issues());
  auto study = model::check_job(raw.value(), "test job", model::Catalogue());
  if (!study.ok()) fail(study.issues());
  return std::move(study.value());
}

std::string changed(const std::string& job_json, const Changes& changes) {
  auto job = nlohmann::ordered_json::parse(job_json);
  for (const auto& change : changes) {
    const nlohmann::ordered_json::json_pointer pointer(change.pointer);
    if (change.json.empty()) {
      job.at(pointer.parent_pointer()).erase(pointer.back());
    } else {
      job[pointer] = nlohmann::ordered_json::parse(change.json);
    }
  }
  return job.dump();
}

model::Study worked_study(int doors, const Changes& changes) {
  return study_of(changed(worked_case_json(doors), changes));
}

sim::Circuit worked_circuit(const sim::Condition& at, int doors, const Changes& changes) {
  return sim::make_circuit(worked_study(doors, changes), at);
}

}  // namespace latchwright::tests
