// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/map_report.h"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <sstream>

#include "base/text.h"
#include "io/json.h"
#include "support/hand_made_map.h"
#include "support/picture_search.h"
#include "support/words.h"

// Texts and results of maps that were made by hand (support/hand_made_map.h), so that what they must say is
// known.
using namespace latchwright;
using report::SafeAt;
using tests::holds;

namespace {

bool says(const model::Study& study, const spread::LockoutMap& map, const std::string& sentence) {
  const auto lines = report::map_sentences(study, map);
  return std::count(lines.begin(), lines.end(), sentence) == 1;
}

}  // namespace

TEST_CASE("map: what is safe at each ambient", "[report][map]") {
  const auto rests = tests::hand_made_rests();
  CHECK(report::safe_at(rests, 0).kind == SafeAt::Kind::always);
  CHECK(report::safe_at(rests, 1).kind == SafeAt::Kind::edge);
  CHECK(report::safe_at(rests, 2).value_s == 2.41);
  CHECK(report::safe_at(rests, 3).kind == SafeAt::Kind::never);
  const auto pulses = tests::hand_made_pulses();
  CHECK(report::safe_at(pulses, 0).kind == SafeAt::Kind::always);
  CHECK(report::safe_at(pulses, 1).value_s == 0.42);
  CHECK(report::safe_at(pulses, 2).kind == SafeAt::Kind::never);
}

TEST_CASE("map: sentences say what to set", "[report][map]") {
  auto study = tests::example_study("five-door-estate");
  study.job.climate = {-20, 23, 60};
  auto rests = tests::hand_made_rests();
  CHECK(report::map_sentences(study, rests).size() == 4);
  CHECK(says(study, rests,
             "The job's rest of 1 s gives 5 cycles from -20 °C to 23 °C, and not at 60 °C and above, as "
             "counted."));
  CHECK(says(study, rests, "At 23 °C leave 0.73 s between pulses for 5 cycles."));
  CHECK(says(study, rests, "At 60 °C leave 2.41 s between pulses for 5 cycles."));
  CHECK(says(study, rests, "At 80 °C no rest up to 10 s gives 5 cycles."));
  rests.plan.gap_s = 10;
  rests.cycles_done[3].back() = 5;
  CHECK(says(study, rests,
             "The job's rest of 10 s gives 5 cycles at every ambient that was counted, -20 °C to 80 °C."));
  rests.plan.gap_s = 0.5;
  CHECK(says(study, rests, "The job's rest of 0.5 s gives 5 cycles only at -20 °C, as counted."));
  rests.plan.gap_s = 0.6;  // was not counted
  CHECK(report::map_sentences(study, rests).size() == 3);
  study.job.climate.usual_C = -20;
  CHECK(says(study, rests, "At -20 °C no rest is needed for 5 cycles."));

  auto pulses = tests::hand_made_pulses();
  CHECK(says(study, pulses, "The job's pulse of 0.7 s gives 5 cycles only at -20 °C, as counted."));
  CHECK(says(study, pulses, "At -20 °C a pulse of 3 s is not too long for 5 cycles."));
  CHECK(says(study, pulses, "At 60 °C keep the pulse between 0.3 s and 0.42 s for 5 cycles."));
  CHECK(says(study, pulses, "At 80 °C no pulse from 0.12 s to 3 s gives 5 cycles."));
  // A run of good pulses between two that were counted.
  pulses.boundary = {{60, 0.21}};
  pulses.cycles_done[1] = {0, 4, 3, 2, 1};
  CHECK(says(study, pulses, "At 60 °C only pulses near 0.21 s give 5 cycles, and none longer."));
}

TEST_CASE("map: the table fits a page and keeps the job's own column", "[report][map]") {
  const auto study = tests::example_study("five-door-estate");
  auto map = tests::hand_made_rests();
  const std::string few = report::map_text(study, map, {});
  CHECK(holds(few, "ambient  0 s  0.5 s  1 s  2 s  3 s  10 s  leave at least"));
  CHECK(holds(few, "  60 °C    1      1    2    4    7   20+          2.41 s"));
  CHECK(holds(few, "none needed"));
  CHECK(holds(few, "more than 10 s"));
  CHECK(holds(few, "20+ means that or more"));
  CHECK(holds(few, "Example parts: measure yours"));
  // As many columns as a map may have.
  map.values_s.clear();
  for (std::size_t j = 0; j < spread::most_values; ++j)
    map.values_s.push_back(0.01 + 0.41 * static_cast<double>(j));
  map.plan.gap_s = map.values_s[4];
  for (auto& row : map.cycles_done) row.assign(map.values_s.size(), 20);
  std::istringstream lines(report::map_text(study, map, {}));
  bool own = false, first = false, last = false;
  for (std::string line; std::getline(lines, line);) {
    CHECK(base::column_width(line) <= 100);
    if (!holds(line, "leave at least")) continue;
    own = holds(line, " 1.65 s");
    first = holds(line, " 0.01 s");
    last = holds(line, " 9.85 s");
  }
  CHECK(own);
  CHECK(first);
  CHECK(last);
}

TEST_CASE("map: results for programs", "[report][map]") {
  const auto map = tests::hand_made_pulses();
  const auto json = nlohmann::json::parse(io::write_json(report::map_json(map)));
  CHECK(json["verb"] == "map");
  CHECK(json["at"].is_null());
  CHECK(json["axis"] == "on_s");
  CHECK(json["ambient_C"] == nlohmann::json({-20, 60, 80}));
  CHECK(json["values"] == nlohmann::json({0.12, 0.3, 0.5, 0.7, 3}));
  CHECK(json["cycles_done"][1] == nlohmann::json({0, 9, 4, 2, 1}));
  CHECK(json["boundary"] == nlohmann::json::parse(R"([{"ambient_C": 60, "value": 0.42}])"));
  CHECK(json["settings"]["gap_s"] == 1);
  CHECK(!json["settings"].contains("on_s"));
  CHECK(json["settings"]["counted_to"] == 20);
  const std::string csv = report::map_csv(tests::hand_made_rests());
  CHECK(csv.starts_with("ambient_C,gap_s,cycles_done\n-20,0,9\n-20,0.5,12\n"));
  CHECK(std::count(csv.begin(), csv.end(), '\n') == 1 + 4 * 6);
}
