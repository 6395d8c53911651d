// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/bench_report.h"

#include <catch2/catch.hpp>

#include "io/json.h"
#include "support/studies.h"

using namespace latchwright;

namespace {

report::BenchReport made(const tests::Changes& changes = {}) {
  const auto study = tests::worked_study(1, changes);
  base::NoProgress progress;
  report::BenchReport report;
  report.part = "a";
  report.title = "worked actuator";
  report.invented = true;
  report.sheet = bench::make_sheet(study.actuator(0), study.doors[0].curve, 25, 12.6, progress);
  return report;
}

std::vector<std::string> keys_of(const model::Raw& raw) {
  std::vector<std::string> keys;
  for (const auto& [key, value] : *raw.object()) keys.push_back(key);
  return keys;
}

}  // namespace

TEST_CASE("bench report: the result as other programs read it", "[report][bench]") {
  const auto raw = io::parse_json(io::write_json(report::bench_json(made())), "result").value();
  CHECK(*raw.find("verb")->text() == "bench");
  CHECK(*raw.find("at")->find("ambient_C")->number() == 25);
  CHECK(*raw.find("at")->find("voltage_V")->number() == 12.6);
  const auto& readings = *raw.find("readings")->list();
  for (const auto& reading : readings) {
    CHECK(keys_of(reading) == std::vector<std::string>{"name", "value", "low", "high", "unit"});
  }
  // 1.9 + 0.35 ohm at 25 degC, in full.
  CHECK(*readings.at(0).find("name")->text() == "cold resistance");
  CHECK(*readings.at(0).find("value")->number() == Approx(2.25).epsilon(1e-12));
  CHECK(*readings.at(0).find("unit")->text() == "ohm");
  const auto& cooling = *raw.find("cooling")->list();
  CHECK(keys_of(cooling.at(0)) == std::vector<std::string>{"minutes", "resistance_ohm"});
  double last = -1;
  for (const auto& point : cooling) {
    CHECK(*point.find("minutes")->number() > last);
    last = *point.find("minutes")->number();
  }
}

TEST_CASE("bench report: what there is not is null and said", "[report][bench]") {
  const auto flat = made({{tests::worked_actuator + "/ptc/curve", tests::flat_curve},
                          {tests::worked_actuator + "/motor/resistance_ohm", "12"}});
  const auto raw = io::parse_json(io::write_json(report::bench_json(flat)), "result").value();
  for (const auto& reading : *raw.find("readings")->list()) {
    if (*reading.find("name")->text() != "time to trip") continue;
    for (const char* key : {"value", "low", "high"}) CHECK(reading.find(key)->is_null());
  }
  CHECK(raw.find("cooling")->list()->empty());
  CHECK(report::bench_text(flat, {}).find("time to trip: not given: held for") != std::string::npos);
  const auto pictures = report::bench_pictures(flat);
  REQUIRE(pictures.size() == 1);
  CHECK(pictures[0].note.find("without a trip") != std::string::npos);
}

TEST_CASE("bench report: text to hold beside the actuator", "[report][bench]") {
  const auto report = made();
  const std::string text = report::bench_text(report, {});
  for (const auto& reading : report.sheet.readings) CHECK(text.find(reading.name) != std::string::npos);
  CHECK(text.find("2.25 Ω") != std::string::npos);
  CHECK(text.find("Example part: measure yours before promising this.") != std::string::npos);
  // Cautions where the hands will be.
  for (const char* word :
       {"Battery off", "airbag", "Bridge and bypass nothing", "fingers", "hot", "service data"}) {
    CAPTURE(word);
    CHECK(text.find(word) != std::string::npos);
  }
  auto measured = report;
  measured.invented = false;
  CHECK(report::bench_text(measured, {}).find("Example part") == std::string::npos);
  std::size_t start = 0;
  for (std::size_t end; (end = text.find('\n', start)) != std::string::npos; start = end + 1) {
    CHECK(end - start <= 130);
  }
}

TEST_CASE("bench report: pictures and table say the same", "[report][bench]") {
  const auto report = made();
  const auto pictures = report::bench_pictures(report);
  REQUIRE(pictures.size() == 2);
  const auto& cooling = pictures[0];
  CHECK(cooling.key == "bench_cooling");
  REQUIRE(cooling.lines.size() == 1);
  REQUIRE(cooling.bands.size() == 1);
  const auto& points = report.sheet.cooling;
  REQUIRE(cooling.lines[0].y.size() == points.size());
  for (std::size_t k = 0; k < points.size(); ++k) {
    CHECK(cooling.lines[0].y[k] == points[k].resistance_ohm);
    // On a logarithmic axis nothing may be 0.
    CHECK(cooling.bands[0].lower_y[k] > 0);
    CHECK(cooling.bands[0].lower_y[k] <= cooling.lines[0].y[k]);
    CHECK(cooling.bands[0].upper_y[k] >= cooling.lines[0].y[k]);
  }
  CHECK(pictures[1].key == "bench_held");
  const std::string csv = report::bench_csv(report);
  CHECK(csv.starts_with("minutes,resistance_ohm,low_ohm,high_ohm\n0,"));
  CHECK(static_cast<std::size_t>(std::count(csv.begin(), csv.end(), '\n')) == points.size() + 1);
}
