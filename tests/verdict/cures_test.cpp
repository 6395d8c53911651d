// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "support/worked_case.h"
#include "verdict/cure_trial.h"

// Cures of mechanics, use, windings and wires: the change named lets the row pass, a slightly smaller one
// does not.
using namespace latchwright;
using tests::Changes;
using tests::check_cures;
using tests::check_thicker;
using tests::cure_job_json;
using tests::Trial;
using verdict::CheckId;
using verdict::Verdict;

namespace {

double number(const Trial& trial) { return std::get<double>(trial.change()->passes_at); }
/// A pulse or gap one step to the failing side, as JSON.
std::string stepped(const Trial& trial, double step) { return std::to_string(number(trial) + step); }

}  // namespace

TEST_CASE("cure of stroke: an actuator that travels further and still does the door's work",
          "[verdict][cure]") {
  const Trial trial(cure_job_json({{"/doors/0/stroke_mm", "20"}}), CheckId::stroke, 0);
  check_cures(trial, "/doors/0/actuator");
  // All others of the catalogue that travel 21 mm: what was named must not fail where the old one did not.
  const auto better = tests::Bench(
      cure_job_json({{"/doors/0/stroke_mm", "20"}, {"/doors/0/actuator", "\"" + trial.named_id() + "\""}}),
      tests::Parts::catalogue);
  CHECK(better.worst(CheckId::force, 0).verdict != Verdict::fails);
  CHECK(better.worst(CheckId::ptc_rating, 0).verdict != Verdict::fails);
  // None travels 61 mm: said in words, without a setting that would not pass.
  const Trial none(cure_job_json({{"/doors/0/stroke_mm", "60"}}), CheckId::stroke, 0);
  REQUIRE(none.change().has_value());
  CHECK(std::holds_alternative<std::monostate>(none.change()->passes_at));
  CHECK(none.change()->text.find("61") != std::string::npos);
}

TEST_CASE("cure of force: door run, feed, actuator, and the linkage last", "[verdict][cure]") {
  const Changes thin_run{{"/doors/0/wire", "\"wire-0.35\""},
                         {"/doors/0/branch_length_m", "8"},
                         {"/doors/0/rod_force/peak_N", "26"}};
  check_thicker(Trial(cure_job_json(thin_run), CheckId::force, 0), "/doors/0/wire");
  const Changes thin_feed{{"/feed/wire", "\"wire-0.35\""},
                          {"/feed/length_m", "12"},
                          {"/doors/0/wire", "\"wire-6.0\""},
                          {"/doors/0/rod_force/peak_N", "26"}};
  check_thicker(Trial(cure_job_json(thin_feed), CheckId::force, 0), "/feed/wire");
  check_cures(Trial(cure_job_json({{"/doors/0/rod_force/peak_N", "33"}}), CheckId::force, 0),
              "/doors/0/actuator");
  // 200 N: no actuator of the catalogue. The rod at the whole percent that passes; one percent more does not.
  const Trial linkage(cure_job_json({{"/doors/0/rod_force/peak_N", "200"}}), CheckId::force, 0);
  check_cures(linkage, "/doors/0/rod_force/peak_N");
  CHECK(linkage.verdict_with(std::to_string(number(linkage) + 2)) == Verdict::fails);
}

TEST_CASE("cure of force: loads that are not one number get words", "[verdict][cure]") {
  // 14 % of 200 N would stand below the friction of 50 N: such a job is not lawful.
  for (const char* rod : {R"({"shape": "over_centre", "friction_N": 50, "peak_N": 200})",
                          R"({"shape": "table", "x_mm": [0, 18], "N": [200, 150]})"}) {
    const Trial trial(cure_job_json({{"/doors/0/rod_force", rod}}), CheckId::force, 0);
    REQUIRE(trial.change().has_value());
    CHECK(trial.change()->pointer == "/doors/0/rod_force");
    CHECK(std::holds_alternative<std::monostate>(trial.change()->passes_at));
    CHECK(trial.change()->text.find("14 %") != std::string::npos);
  }
}

TEST_CASE("cure of throw time: a longer pulse, to a hundredth", "[verdict][cure]") {
  const Trial trial(cure_job_json({{"/pulse/on_s", "0.06"}}), CheckId::throw_time, 0);
  check_cures(trial, "/pulse/on_s");
  CHECK(trial.verdict_with(stepped(trial, -0.01)) == Verdict::fails);
}

TEST_CASE("cure of throw time: several corners that miss the pulse by different times", "[verdict][cure]") {
  // Cold grease makes the cold corner the slowest, a weak battery the hot one slower than usual: all margins
  // are 0.
  const Trial trial(cure_job_json({{"/pulse/on_s", "0.06"}, {"/doors/0/rod_force/cold_factor", "1.6"}}),
                    CheckId::throw_time, 0);
  check_cures(trial, "/pulse/on_s");
  CHECK(trial.verdict_with(stepped(trial, -0.01)) == Verdict::fails);
}

TEST_CASE("cure of throw time: wire or actuator where no pulse is long enough", "[verdict][cure]") {
  const Changes thin_run{{"/doors/0/wire", "\"wire-0.35\""},
                         {"/doors/0/branch_length_m", "9"},
                         {"/doors/0/rod_force/peak_N", "30"}};
  check_thicker(Trial(cure_job_json(thin_run), CheckId::throw_time, 0), "/doors/0/wire");
  check_cures(Trial(cure_job_json({{"/doors/0/rod_force/peak_N", "45"}}), CheckId::throw_time, 0),
              "/doors/0/actuator");
}

TEST_CASE("cure of lockout: a shorter pulse, to a hundredth", "[verdict][cure]") {
  const Trial trial(cure_job_json({{"/pulse/on_s", "0.8"}, {"/climate/hot_C", "80"}}), CheckId::lockout,
                    std::nullopt, "installation");
  check_cures(trial, "/pulse/on_s");
  CHECK(trial.verdict_with(stepped(trial, 0.01)) == Verdict::fails);
  CHECK(number(trial) < 0.8);
}

TEST_CASE("cure of lockout: a longer rest, to a tenth", "[verdict][cure]") {
  // From 1 s, and from rests below the first that is tried.
  const Changes jobs[] = {
      {{"/climate/hot_C", "85"}, {"/use/hot_cycles", "16"}, {"/pulse/on_s", "0.2"}},
      {{"/climate/hot_C", "85"}, {"/use/hot_cycles", "12"}, {"/pulse/on_s", "0.2"}, {"/use/gap_s", "0"}},
      {{"/climate/hot_C", "85"}, {"/use/hot_cycles", "12"}, {"/pulse/on_s", "0.2"}, {"/use/gap_s", "0.15"}}};
  int below_half_second = 0;
  for (const Changes& job : jobs) {
    const Trial trial(cure_job_json(job), CheckId::lockout, std::nullopt, "installation");
    CAPTURE(trial.row().why);
    check_cures(trial, "/use/gap_s");
    CHECK(trial.verdict_with(stepped(trial, -0.1)) == Verdict::fails);
    below_half_second += number(trial) <= 0.5;
  }
  CHECK(below_half_second == 2);
}

TEST_CASE("cure of lockout: what it does is what may be promised", "[verdict][cure]") {
  // A housing that hardly cools, rests of a minute already, a battery too weak at low_V for any shorter
  // pulse.
  const std::string json = tests::changed(
      tests::worked_case_json(), {{"/supply/low_V", "4"},
                                  {"/use/gap_s", "60"},
                                  {"/pulse/on_s", "3"},
                                  {"/use/hot_cycles", "70"},
                                  {"/use/cycles", "1"},
                                  {tests::worked_actuator + "/thermal/housing_to_ambient_K_per_W", "300"}});
  const Trial trial(json, CheckId::lockout, std::nullopt, "installation");
  check_cures(trial, "/use/hot_cycles");
  CHECK(trial.verdict_with(std::to_string(static_cast<int>(number(trial)) + 1)) == Verdict::fails);
  // Cold, usual and hot all short of what is wanted: no single promise cures that.
  const Trial none(tests::changed(json, {{"/use/cycles", "70"}, {"/climate/usual_C", "74"}}),
                   CheckId::lockout, std::nullopt, "installation");
  REQUIRE(none.row().verdict == Verdict::fails);
  CHECK_FALSE(none.change().has_value());
}

TEST_CASE("cure of a winding too hot in use: a shorter pulse, a longer rest", "[verdict][cure][slow]") {
  const Changes too_large{{"/doors/0/actuator", "\"act-oversized-thermistor\""}};
  Changes pulse = too_large, gap = too_large;
  pulse.insert(pulse.end(), {{"/pulse/on_s", "1.0"}, {"/use/cycles", "30"}});
  gap.insert(gap.end(), {{"/pulse/on_s", "0.2"}, {"/use/cycles", "100"}, {"/use/gap_s", "0"}});
  const Trial shorter(cure_job_json(pulse), CheckId::winding, 0);
  check_cures(shorter, "/pulse/on_s");
  CHECK(shorter.verdict_with(stepped(shorter, 0.01)) == Verdict::fails);
  const Trial longer(cure_job_json(gap), CheckId::winding, 0);
  check_cures(longer, "/use/gap_s");
  CHECK(longer.verdict_with(stepped(longer, -0.1)) == Verdict::fails);
}

TEST_CASE("cure of a winding that a stuck relay burns: an actuator whose thermistor trips in time",
          "[verdict][cure]") {
  check_cures(Trial(cure_job_json({{"/doors/0/actuator", "\"act-oversized-thermistor\""}}),
                    CheckId::winding_fault, 0),
              "/doors/0/actuator");
}

TEST_CASE("cure of a thermistor beyond its rating", "[verdict][cure]") {
  // 24 V vehicle: 32 V are more than the 30 V of ordinary parts; the 24 V actuator bears 60 V.
  const Changes volts{{"/supply", R"({"low_V": 18, "usual_V": 25, "charge_V": 28, "high_V": 32})"}};
  const Trial trial(cure_job_json(volts), CheckId::ptc_rating, 0);
  check_cures(trial, "/doors/0/actuator");
  CHECK(trial.named_id() == "act-24v");
}

TEST_CASE("cure of voltage drop: door run, else feed", "[verdict][cure]") {
  check_thicker(Trial(cure_job_json({{"/doors/0/wire", "\"wire-0.35\""}, {"/doors/0/branch_length_m", "6"}}),
                      CheckId::volt_drop, 0),
                "/doors/0/wire");
  check_thicker(Trial(cure_job_json({{"/feed/wire", "\"wire-0.35\""},
                                     {"/feed/length_m", "12"},
                                     {"/doors/0/wire", "\"wire-6.0\""}}),
                      CheckId::volt_drop, 0),
                "/feed/wire");
}

TEST_CASE("cure of a wire that gets too hot at stall: a thicker one", "[verdict][cure]") {
  const Changes run{{"/doors/0/wire", "\"wire-0.35\""},
                    {"/doors/0/bundle_factor", "10"},
                    {"/doors/0/actuator", "\"act-oversized-thermistor\""},
                    {"/climate/hot_C", "70"}};
  check_thicker(Trial(cure_job_json(run), CheckId::wire_heat, 0), "/doors/0/wire", 0);
  const Changes feed{{"/feed/wire", "\"wire-0.35\""},
                     {"/feed/bundle_factor", "6"},
                     {"/feed/other_load_A", "5"},
                     {"/doors/0/actuator", "\"act-oversized-thermistor\""}};
  check_thicker(Trial(cure_job_json(feed), CheckId::wire_heat, std::nullopt, "feed"), "/feed/wire");
}

TEST_CASE("cure of the relay: the smallest that may switch it", "[verdict][cure]") {
  std::string json = cure_job_json({{"/feed/relay", "\"relay-10\""}});
  for (int k = 2; k <= 4; ++k) {
    json = tests::changed(json, {{"/doors/-", R"({"name": "door )" + std::to_string(k) +
                                                  R"(", "actuator": "act-ordinary-2w", "wire": "wire-1.0",
      "branch_length_m": 3, "stroke_mm": 18, "rod_force": {"shape": "steady", "peak_N": 18}})"}});
  }
  const Trial trial(json, CheckId::relay, std::nullopt, "relay");
  check_cures(trial, "/feed/relay");
  const auto smaller = trial.between<model::Relay>([](const model::Relay& relay) { return relay.rated_A; });
  CHECK(smaller == std::vector<std::string>{"relay-20"});
  for (const auto& each : smaller) CHECK(trial.verdict_with("\"" + each + "\"") == Verdict::fails);
}
