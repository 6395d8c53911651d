// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>
#include <fstream>
#include <set>
#include <sstream>

#include "support/worked_case.h"
#include "verdict/cure_trial.h"

// Every way that is listed for a failing row: written into the job it cures, and one step less does not.
using namespace latchwright;
using tests::Bench;
using tests::Changes;
using tests::cure_job_json;
using tests::Parts;
using tests::setting_json;
using verdict::Change;
using verdict::CheckId;
using verdict::CheckRow;
using verdict::Verdict;

namespace {

std::string demo_json() {
  std::ifstream file(std::string(LATCHWRIGHT_SOURCE_DIR) + "/docs/examples/five-door-estate.json");
  std::stringstream text;
  text << file.rdbuf();
  return text.str();
}

Verdict verdict_with(const std::string& json, const CheckRow& row, const std::string& pointer,
                     const std::string& value) {
  return Bench(tests::changed(json, {{pointer, value}}), Parts::catalogue)
      .worst(row.id, row.door, row.part)
      .verdict;
}

/// Areas of one make lie in the id's number: "wire-0.75", "awg-18" and the like without a further suffix.
std::string make_of(const std::string& id) {
  std::string make;
  for (const char c : id) {
    if ((c < '0' || c > '9') && c != '.') make += c;
  }
  return make;
}

/// The size of the same make next below a wire that the cure names, if it is still thicker than the present
/// one.
std::optional<std::string> next_thinner(const model::Study& study, const Change& change) {
  const auto wire = [&](const verdict::Setting& id) {
    return study.catalogue->find(std::get<std::string>(id));
  };
  const auto area = [](const model::PartPtr& part) { return std::get<model::Wire>(part->body).area; };
  const auto now = wire(change.now), then = wire(change.passes_at);
  model::PartPtr best;
  for (const auto& part : study.catalogue->parts_of<model::Wire>()) {
    const bool between = area(part) > area(now) && area(part) < area(then);
    if (make_of(part->id) == make_of(then->id) && between && (!best || area(part) > area(best))) best = part;
  }
  return best ? std::optional(best->id) : std::nullopt;
}

/// The value one step to the failing side of the setting, as JSON; none where the kind has no steps.
std::optional<std::string> one_step_less(const model::Study& study, const Change& change) {
  const auto ends_with = [&](const char* key) { return change.pointer.ends_with(key); };
  if (ends_with("/wire")) {
    const auto thinner = next_thinner(study, change);
    return thinner ? std::optional("\"" + *thinner + "\"") : std::nullopt;
  }
  const auto* then = std::get_if<double>(&change.passes_at);
  if (!then) return std::nullopt;
  const double now = std::get<double>(change.now);
  const double step = ends_with("/on_s")                             ? 0.01
                      : ends_with("/gap_s") || ends_with("length_m") ? 0.1
                      : ends_with("/peak_N") ? 0.011 * now  // whole percent of what it is
                                             : 1.0;         // cycles
  return setting_json(verdict::Setting(std::round((*then + (now > *then ? step : -step)) * 1000) / 1000));
}

struct Kinds {
  std::set<std::string> cured, stepped;  ///< last key of the pointers seen
};

/// All cures of all failing rows of a job.
void check_job(const std::string& json, Kinds& kinds) {
  const Bench bench(json, Parts::catalogue);
  const model::Study& study = bench.findings().study();
  int failing = 0;
  for (const auto& check : verdict::check_infos()) {
    for (const CheckRow& row : verdict::worst_rows(bench.rows(check.id))) {
      if (row.verdict != Verdict::fails) continue;
      ++failing;
      const auto cures = verdict::find_cures(row, bench.findings());
      // The nearest is the one that a caller who wants only one gets.
      const auto nearest = verdict::find_cure(row, bench.findings());
      REQUIRE(nearest.has_value() == !cures.empty());
      if (nearest) CHECK((cures.front() == *nearest));
      for (const Change& cure : cures) {
        CAPTURE(check.key, row.part, cure.pointer, cure.text);
        if (std::holds_alternative<std::monostate>(cure.passes_at)) continue;
        const std::string key = cure.pointer.substr(cure.pointer.rfind('/') + 1);
        CHECK(verdict_with(json, row, cure.pointer, setting_json(cure.passes_at)) != Verdict::fails);
        kinds.cured.insert(key);
        if (const auto less = one_step_less(study, cure)) {
          CAPTURE(*less);
          CHECK(verdict_with(json, row, cure.pointer, *less) == Verdict::fails);
          kinds.stepped.insert(key);
        }
      }
      // No way stands twice.
      for (std::size_t a = 0; a < cures.size(); ++a) {
        for (std::size_t b = 0; b < a; ++b) CHECK_FALSE(cures[a].pointer == cures[b].pointer);
      }
    }
  }
  CHECK(failing > 0);
}

}  // namespace

TEST_CASE("every listed cure cures, and one step less does not", "[verdict][cure][slow]") {
  const std::string promised = tests::changed(
      tests::worked_case_json(), {{"/supply/low_V", "4"},
                                  {"/use/gap_s", "60"},
                                  {"/pulse/on_s", "3"},
                                  {"/use/hot_cycles", "70"},
                                  {"/use/cycles", "1"},
                                  {tests::worked_actuator + "/thermal/housing_to_ambient_K_per_W", "300"}});
  const std::string jobs[] = {
      cure_job_json({{"/doors/0/stroke_mm", "20"}}),
      cure_job_json({{"/doors/0/wire", "\"wire-0.35\""},
                     {"/doors/0/branch_length_m", "9"},
                     {"/doors/0/rod_force/peak_N", "30"}}),
      cure_job_json({{"/doors/0/rod_force/peak_N", "33"}}),
      cure_job_json({{"/pulse/on_s", "0.06"}, {"/doors/0/rod_force/cold_factor", "1.6"}}),
      cure_job_json({{"/pulse/on_s", "0.8"}, {"/climate/hot_C", "80"}}),
      cure_job_json({{"/doors/0/actuator", "\"act-oversized-thermistor\""}}),
      cure_job_json({{"/feed/wire", "\"wire-0.35\""}, {"/feed/length_m", "12"}}),
      cure_job_json({{"/feed/wire", "\"wire-6.0\""},
                     {"/doors/0/wire", "\"wire-6.0\""},
                     {"/doors/0/branch_length_m", "28"},
                     {"/limits/volt_drop_percent", "5"}}),
      cure_job_json({{"/doors/0/fuse", "\"fuse-medium-3\""}, {"/pulse/on_s", "2"}}),
      cure_job_json({{"/feed/fuse", "\"fuse-medium-30\""},
                     {"/feed/length_m", "4"},
                     {"/doors/0/fuse", ""},
                     {"/doors/0/wire", "\"wire-0.5\""}}),
      cure_job_json({{"/feed/fuse", "\"fuse-medium-30\""}, {"/feed/wire", "\"wire-0.75\""}}),
      promised,
      demo_json()};
  Kinds kinds;
  for (const std::string& json : jobs) {
    CAPTURE(json.substr(0, 400));
    check_job(json, kinds);
  }
  // All kinds of ways were among them: else this test would have less to say than it seems.
  CHECK(kinds.cured == std::set<std::string>{"actuator", "branch_length_m", "fuse", "gap_s", "hot_cycles",
                                             "on_s", "peak_N", "wire"});
  CHECK(kinds.stepped ==
        std::set<std::string>{"branch_length_m", "gap_s", "hot_cycles", "on_s", "peak_N", "wire"});
}

TEST_CASE("cures of lockout: pulse and gap, the actuator of the one door that sinks it", "[verdict][cure]") {
  // An undersized thermistor beside a sound door.
  const std::string json =
      tests::changed(cure_job_json({{"/climate/hot_C", "80"},
                                    {"/use/hot_cycles", "6"},
                                    {"/doors/0/actuator", "\"act-undersized-thermistor\""}}),
                     {{"/doors/-", R"({"name": "door 2", "actuator": "act-heavy-ceramic", "wire": "wire-1.0",
        "branch_length_m": 3, "stroke_mm": 18, "rod_force": {"shape": "steady", "peak_N": 18}})"}});
  const Bench bench(json, Parts::catalogue);
  const CheckRow row = bench.worst(CheckId::lockout, std::nullopt, "installation");
  CAPTURE(row.why);
  REQUIRE(row.verdict == Verdict::fails);
  std::set<std::string> pointers;
  for (const Change& cure : verdict::find_cures(row, bench.findings())) pointers.insert(cure.pointer);
  CHECK(pointers.count("/doors/0/actuator") == 1);
  CHECK(pointers.count("/doors/1/actuator") == 0);
  CHECK(pointers.count("/use/gap_s") == 1);
  // Promises are for those whom nothing helps.
  CHECK(pointers.count("/use/hot_cycles") == 0);
}

TEST_CASE("a shorter run is named only where no thicker wire helps", "[verdict][cure]") {
  const auto pointers = [](const Changes& changes) {
    const Bench bench(cure_job_json(changes), Parts::catalogue);
    const CheckRow row = bench.worst(CheckId::volt_drop, 0);
    REQUIRE(row.verdict == Verdict::fails);
    std::vector<std::string> found;
    for (const Change& cure : verdict::find_cures(row, bench.findings())) found.push_back(cure.pointer);
    return found;
  };
  CHECK(pointers({{"/doors/0/wire", "\"wire-0.35\""}, {"/doors/0/branch_length_m", "6"}}) ==
        std::vector<std::string>{"/doors/0/wire"});
  const Changes thickest{{"/feed/wire", "\"wire-6.0\""},
                         {"/doors/0/wire", "\"wire-6.0\""},
                         {"/doors/0/branch_length_m", "28"},
                         {"/limits/volt_drop_percent", "5"}};
  CHECK(pointers(thickest) == std::vector<std::string>{"/doors/0/branch_length_m"});
}
