// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "verdict/cure_trial.h"

// Cures by fuses: larger ones for the load, smaller ones for the wires, a fuse of its own for a door run.
using namespace latchwright;
using tests::Bench;
using tests::Changes;
using tests::check_cures;
using tests::check_thicker;
using tests::cure_job_json;
using tests::Parts;
using tests::Trial;
using verdict::CheckId;
using verdict::Verdict;

namespace {

const std::string main_fuse = "main fuse", own_fuse = "fuse, door 1";

/// Ratings between what the job has and the cure, of the same family.
std::vector<std::string> between(const Trial& trial) {
  auto ids = trial.between<model::Fuse>([](const model::Fuse& fuse) { return fuse.rating_A; });
  std::erase_if(ids, [](const std::string& each) { return !each.starts_with("fuse-medium-"); });
  return ids;
}

/// The smallest fuse that cures: every one between the present and the new one fails as before.
void check_next(const Trial& trial, const std::string& pointer, std::size_t left_out) {
  check_cures(trial, pointer);
  const auto ids = between(trial);
  CHECK(ids.size() == left_out);
  for (const auto& each : ids) {
    CAPTURE(each);
    CHECK(trial.verdict_with("\"" + each + "\"") == Verdict::fails);
  }
}

/// The verdict of another check once the cure is made.
Verdict after(const std::string& json, const Trial& trial, CheckId check, std::optional<std::size_t> door,
              const std::string& part) {
  return Bench(tests::changed(json, {{trial.change()->pointer, trial.passes_at()}}), Parts::catalogue)
      .worst(check, door, part)
      .verdict;
}

}  // namespace

TEST_CASE("cure of a fuse loaded too long: the next that bears it", "[verdict][cure]") {
  check_next(Trial(cure_job_json({{"/feed/fuse", "\"fuse-medium-5\""}, {"/feed/other_load_A", "6"}}),
                   CheckId::fuse_load, std::nullopt, main_fuse),
             "/feed/fuse", 2);  // 7.5 and 10 A bear less than 8.6 A / 0.75 = 11.5 A
  check_next(Trial(cure_job_json({{"/doors/0/fuse", "\"fuse-medium-3\""}, {"/pulse/on_s", "2"}}),
                   CheckId::fuse_load, std::nullopt, own_fuse),
             "/doors/0/fuse", 1);
}

TEST_CASE("cure of a fuse that blows in use: the next that carries the pulses", "[verdict][cure]") {
  check_next(Trial(cure_job_json({{"/feed/fuse", "\"fuse-medium-3\""}, {"/feed/other_load_A", "3"}}),
                   CheckId::fuse_carry, std::nullopt, main_fuse),
             "/feed/fuse", 1);
  check_next(Trial(cure_job_json({{"/doors/0/fuse", "\"fuse-medium-3\""}, {"/pulse/on_s", "1.5"}}),
                   CheckId::fuse_carry, std::nullopt, own_fuse),
             "/doors/0/fuse", 1);
}

TEST_CASE("no larger fuse is named that leaves a wire without protection", "[verdict][cure]") {
  // 11.5 A ask for a 20 A fuse, which a feed of 0.35 mm² would not survive.
  const Changes thin{
      {"/feed/fuse", "\"fuse-medium-7.5\""}, {"/feed/other_load_A", "10"}, {"/feed/wire", "\"wire-0.35\""}};
  const Trial trial(cure_job_json(thin), CheckId::fuse_load, std::nullopt, main_fuse);
  REQUIRE(trial.row().verdict == Verdict::fails);
  CHECK_FALSE(trial.change().has_value());
  // A thick feed does.
  Changes thick = thin;
  thick[2].json = "\"wire-2.5\"";
  check_cures(Trial(cure_job_json(thick), CheckId::fuse_load, std::nullopt, main_fuse), "/feed/fuse");
}

TEST_CASE("cure of a short circuit that the main fuse does not clear: a smaller one", "[verdict][cure]") {
  const std::string json = cure_job_json(
      {{"/feed/fuse", "\"fuse-medium-40\""}, {"/feed/wire", "\"wire-0.75\""}, {"/feed/length_m", "8"}});
  const Trial trial(json, CheckId::fuse_clear, std::nullopt, main_fuse);
  check_next(trial, "/feed/fuse", 2);
  CHECK(after(json, trial, CheckId::fuse_carry, std::nullopt, main_fuse) != Verdict::fails);
  CHECK(after(json, trial, CheckId::fuse_load, std::nullopt, main_fuse) != Verdict::fails);
}

TEST_CASE("cure of a short circuit in a door run without its own fuse: one of its own", "[verdict][cure]") {
  const std::string json = cure_job_json({{"/feed/fuse", "\"fuse-medium-30\""},
                                          {"/feed/length_m", "4"},
                                          {"/doors/0/fuse", ""},
                                          {"/doors/0/wire", "\"wire-0.5\""}});
  const Trial trial(json, CheckId::fuse_clear, std::nullopt, main_fuse);
  check_cures(trial, "/doors/0/fuse");
  CHECK(std::holds_alternative<std::monostate>(trial.change()->now));
  // It clears, protects the run whole and carries the load; the next smaller one would not.
  CHECK(after(json, trial, CheckId::fuse_clear, std::nullopt, own_fuse) != Verdict::fails);
  CHECK(after(json, trial, CheckId::fuse_guard, 0, "") == Verdict::holds);
  CHECK(after(json, trial, CheckId::fuse_carry, std::nullopt, own_fuse) != Verdict::fails);
  CHECK(after(json, trial, CheckId::fuse_load, std::nullopt, own_fuse) != Verdict::fails);
  CHECK(trial.named_id() == "fuse-medium-5");
  const Bench smaller(tests::changed(json, {{"/doors/0/fuse", "\"fuse-medium-3\""}}), Parts::catalogue);
  CHECK(smaller.worst(CheckId::fuse_carry, std::nullopt, own_fuse).verdict == Verdict::fails);
}

TEST_CASE("cure of a short circuit by a thicker run", "[verdict][cure]") {
  // 14 m of 0.35 mm² let 7 A through: below any gate of a fuse that carries the lock's own current.
  check_thicker(Trial(cure_job_json({{"/doors/0/wire", "\"wire-0.35\""},
                                     {"/doors/0/branch_length_m", "14"},
                                     {"/pulse/on_s", "2"},
                                     {"/use/gap_s", "0"}}),
                      CheckId::fuse_clear, std::nullopt, own_fuse),
                "/doors/0/wire");
  // A main fuse that must open within 0.1 s, and no fuse of the run's own that could.
  check_thicker(
      Trial(cure_job_json(
                {{"/doors/0/fuse", ""}, {"/limits/clear_s", "0.1"}, {"/doors/0/branch_length_m", "6"}}),
            CheckId::fuse_clear, std::nullopt, main_fuse),
      "/doors/0/wire");
}

TEST_CASE("cure of an unprotected feed: a smaller main fuse, else a thicker feed", "[verdict][cure]") {
  check_next(Trial(cure_job_json({{"/feed/fuse", "\"fuse-medium-30\""}, {"/feed/wire", "\"wire-0.75\""}}),
                   CheckId::fuse_guard, std::nullopt, "feed"),
             "/feed/fuse", 3);
  check_thicker(Trial(cure_job_json({{"/feed/fuse", "\"fuse-medium-15\""},
                                     {"/feed/wire", "\"wire-0.5\""},
                                     {"/feed/other_load_A", "8"}}),
                      CheckId::fuse_guard, std::nullopt, "feed"),
                "/feed/wire");
}

TEST_CASE("cure of a run that only the main fuse protects: a fuse of its own", "[verdict][cure]") {
  const std::string json = cure_job_json({{"/feed/fuse", "\"fuse-medium-30\""}, {"/doors/0/fuse", ""}});
  // Tight: safe when bolted, not in a partial fault. The cure makes it hold.
  const Trial tight(json, CheckId::fuse_guard, 0);
  REQUIRE(tight.row().verdict == Verdict::tight);
  REQUIRE(*tight.row().margin > 1.15);
  check_cures(tight, "/doors/0/fuse");
  const Trial fails(tests::changed(json, {{"/doors/0/wire", "\"wire-0.5\""}}), CheckId::fuse_guard, 0);
  REQUIRE(fails.row().verdict == Verdict::fails);
  check_cures(fails, "/doors/0/fuse");
}

TEST_CASE("cure of a run that its own fuse does not protect: a smaller one, else a thicker run",
          "[verdict][cure]") {
  check_next(
      Trial(cure_job_json({{"/doors/0/fuse", "\"fuse-medium-30\""}, {"/doors/0/wire", "\"wire-0.35\""}}),
            CheckId::fuse_guard, 0),
      "/doors/0/fuse", 3);
  // Only a partial fault threatens: the first that protects whole.
  const Trial tight(
      cure_job_json({{"/doors/0/fuse", "\"fuse-medium-15\""}, {"/doors/0/wire", "\"wire-0.5\""}}),
      CheckId::fuse_guard, 0);
  REQUIRE(tight.row().verdict == Verdict::tight);
  check_cures(tight, "/doors/0/fuse");
  // No smaller fuse carries pulses without rests of a heavy actuator.
  const Changes heavy{{"/doors/0/fuse", "\"fuse-medium-10\""},
                      {"/doors/0/wire", "\"wire-0.35\""},
                      {"/doors/0/branch_length_m", "1"},
                      {"/doors/0/actuator", "\"act-6v\""},
                      {"/pulse/on_s", "2"},
                      {"/use/gap_s", "0"}};
  const Trial thicker(cure_job_json(heavy), CheckId::fuse_guard, 0);
  check_cures(thicker, "/doors/0/wire");
}
