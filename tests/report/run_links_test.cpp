// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/run_links.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "support/picture_search.h"
#include "support/verdict_jobs.h"
#include "support/words.h"

using namespace latchwright;
using report::Link;
using report::LinkKind;
using tests::named;
using verdict::CheckId;

namespace {

/// Everything but the cures.
verdict::Examination examined(const model::Study& study) {
  base::NoProgress quiet;
  const verdict::Findings findings(study, quiet);
  verdict::Examination found;
  found.all = verdict::evaluate_all(findings);
  found.worst = verdict::worst_rows(found.all);
  return found;
}

}  // namespace

TEST_CASE("run: the links of the five-door example and their parts", "[pictures][run]") {
  const auto study = tests::example_study("five-door-estate");
  const auto links = report::run_links(study, nullptr);
  REQUIRE(links.size() == 4 + 4 * 5);
  const std::pair<std::string, std::string> parts[] = {{"battery", "12.6 V"},
                                                       {"main fuse", "30 A"},
                                                       {"feed", "4 mm²"},
                                                       {"relay", "40 A"},
                                                       {"door run, front left", "1 mm² · 7.5 A"},
                                                       {"thermistor, front left", "0.095 Ω"},
                                                       {"motor, front left", "2.3 Ω"},
                                                       {"rod, front left", "20.0 N"},
                                                       {"door run, tailgate", "1.5 mm²"},
                                                       {"rod, tailgate", "32.0 N"}};
  for (const auto& [name, part] : parts) CHECK(named(links, name).part == part);
  CHECK(*named(links, "feed").area_mm2 == Approx(4));
  CHECK(*named(links, "door run, tailgate").area_mm2 == Approx(1.5));
  CHECK(*named(links, "rod, tailgate").force_N == Approx(32));
  CHECK_FALSE(named(links, "relay").area_mm2.has_value());
  CHECK(named(links, "feed").places == std::vector<std::string>{"/feed/wire"});
  CHECK(named(links, "door run, rear left").places ==
        std::vector<std::string>{"/doors/2/wire", "/doors/2/fuse"});
  CHECK(named(links, "door run, tailgate").places == std::vector<std::string>{"/doors/4/wire"});
  CHECK(named(links, "motor, tailgate").places == std::vector<std::string>{"/doors/4/actuator"});
  CHECK(named(links, "battery").places.empty());
  for (const auto& link : links) {
    CHECK(link.chosen);
    CHECK(link.rows.empty());
    CHECK_FALSE(link.worst.has_value());
  }
}

TEST_CASE("run: every row stands at one link, its worst is the worst", "[pictures][run]") {
  for (const char* name : {"five-door-estate", "four-door-saloon"}) {
    const auto study = tests::example_study(name);
    const auto found = examined(study);
    const auto all_links = report::links_of(study);
    for (const auto& row : found.all) {
      CHECK(std::count(all_links.begin(), all_links.end(), report::link_of(study, row)) == 1);
    }
    std::vector<int> seen(found.worst.size());
    for (const auto& link : report::run_links(study, &found)) {
      CAPTURE(name, link.name);
      CHECK(std::is_sorted(link.rows.begin(), link.rows.end()));
      CHECK(link.worst.has_value() == !link.rows.empty());
      for (const std::size_t n : link.rows) {
        ++seen[n];
        CHECK_FALSE(verdict::worse(found.worst[n], found.worst[*link.worst]));
      }
      if (link.link.kind == LinkKind::battery) CHECK(link.rows.empty());
    }
    CHECK(std::all_of(seen.begin(), seen.end(), [](int times) { return times == 1; }));
  }
}

TEST_CASE("run: where each check's rows stand", "[pictures][run]") {
  const auto study = tests::example_study("five-door-estate");
  const auto at = [&](CheckId id, std::optional<std::size_t> door, const std::string& part = "") {
    verdict::CheckRow row;
    row.id = id;
    row.door = door;
    row.part = part;
    return report::link_of(study, row);
  };
  CHECK(at(CheckId::stroke, 3) == Link{LinkKind::rod, 3});
  CHECK(at(CheckId::force, 3) == Link{LinkKind::rod, 3});
  CHECK(at(CheckId::throw_time, 3) == Link{LinkKind::rod, 3});
  CHECK(at(CheckId::winding, 2) == Link{LinkKind::motor, 2});
  CHECK(at(CheckId::winding_fault, 2) == Link{LinkKind::motor, 2});
  CHECK(at(CheckId::ptc_rating, 1) == Link{LinkKind::thermistor, 1});
  CHECK(at(CheckId::volt_drop, 4) == Link{LinkKind::door_run, 4});
  CHECK(at(CheckId::wire_heat, 4) == Link{LinkKind::door_run, 4});
  CHECK(at(CheckId::fuse_guard, 4) == Link{LinkKind::door_run, 4});
  CHECK(at(CheckId::wire_heat, std::nullopt, "feed") == Link{LinkKind::feed});
  CHECK(at(CheckId::fuse_guard, std::nullopt, "feed") == Link{LinkKind::feed});
  CHECK(at(CheckId::fuse_load, std::nullopt, "main fuse") == Link{LinkKind::main_fuse});
  CHECK(at(CheckId::fuse_carry, std::nullopt, "fuse, rear right") == Link{LinkKind::door_run, 3});
  CHECK(at(CheckId::fuse_clear, std::nullopt, "fuse, front left") == Link{LinkKind::door_run, 0});
  CHECK(at(CheckId::relay, std::nullopt, "relay") == Link{LinkKind::relay});
}

TEST_CASE("run: lockout belongs to the door that stops first", "[pictures][run]") {
  for (const char* name : {"five-door-estate", "four-door-saloon"}) {
    const auto study = tests::example_study(name);
    base::NoProgress quiet;
    const verdict::Findings findings(study, quiet);
    for (const auto& row : verdict::evaluate(CheckId::lockout, findings)) {
      CAPTURE(name, row.at->voltage_V, row.at->ambient_C, row.why);
      if (*row.have >= 4 * *row.need) continue;  // it has not stopped
      const Link link = report::link_of(study, row);
      CHECK(link.kind == LinkKind::thermistor);
      // By the whole simulation: alone it stops after as few cycles, or together it is the one that misses.
      const sim::Condition at{row.at->voltage_V, row.at->ambient_C, true};
      const sim::CyclePlan plan{.cycles = static_cast<int>(*row.have) + 1,
                                .on_s = study.job.pulse.on_s,
                                .gap_s = study.job.use.gap_s};
      const auto alone = sim::simulate_cycles(sim::make_circuit(study, at, {link.door}), plan, {}, quiet);
      const auto together = sim::simulate_cycles(sim::make_circuit(study, at), plan, {}, quiet);
      const bool in_company =
          together.lockout && together.cycles_done == *row.have &&
          std::count(together.lockout->doors.begin(), together.lockout->doors.end(), link.door);
      const bool by_itself = alone.lockout && alone.cycles_done == *row.have;
      CHECK((in_company || by_itself));
      if (!in_company) CHECK(tests::holds(row.why, study.job.doors[link.door].name + " when alone"));
    }
  }
  // None stops: the same resistor everywhere, but the second door's thermistor is the lightest.
  auto light = nlohmann::ordered_json::parse(tests::plain_job_json())["parts"][5];
  light["id"] = "light";
  light["ptc"]["heat_J_per_K"] = 20;
  const auto study = tests::study_of(tests::changed(
      tests::plain_job_json(3), {{"/parts/-", light.dump()}, {"/doors/1/actuator", "\"light\""}}));
  const auto found = examined(study);
  const auto& row = *std::find_if(found.worst.begin(), found.worst.end(),
                                  [](const auto& each) { return each.id == CheckId::lockout; });
  REQUIRE_FALSE(row.stops_first.has_value());
  CHECK(report::link_of(study, row) == Link{LinkKind::thermistor, 1});
}

TEST_CASE("run: an unfinished job", "[pictures][run]") {
  const auto study = tests::example_study("taxi-open");
  const auto links = report::run_links(study, nullptr);
  REQUIRE(links.size() == 4 + 4 * 4);
  for (const auto& link : links) {
    CAPTURE(link.name);
    const bool of_the_car = link.link.kind == LinkKind::battery || link.link.kind == LinkKind::rod;
    CHECK(link.chosen == of_the_car);
    CHECK((link.part == "not chosen") == !of_the_car);
    CHECK(link.places.empty() == of_the_car);
  }
  CHECK(named(links, "door run, driver").places ==
        std::vector<std::string>{"/doors/0/wire", "/doors/0/fuse"});

  // One of two parts is there.
  auto estate = tests::example_study("five-door-estate");
  estate.doors[0].fuse = nullptr;
  estate.doors[1].wire = nullptr;
  const auto half = report::run_links(estate, nullptr);
  CHECK(named(half, "door run, front left").part == "1 mm² · fuse not chosen");
  CHECK_FALSE(named(half, "door run, front left").chosen);
  CHECK(named(half, "door run, front right").part == "wire not chosen · 7.5 A");
  CHECK_FALSE(named(half, "door run, front right").area_mm2.has_value());
}
