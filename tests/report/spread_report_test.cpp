// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/spread_report.h"

#include <catch2/catch.hpp>
#include <functional>
#include <nlohmann/json.hpp>
#include <sstream>

#include "io/json.h"
#include "spread/figures.h"
#include "spread/interval.h"
#include "spread/sobol_sums.h"
#include "support/words.h"

// How chances are told, from a tally written by hand, and a slice's way through a file.
namespace latchwright {

namespace {

using nlohmann::ordered_json;
using report::SpreadReport;
using tests::holds;

/// 100 of 200 samples, slice 1 of 2: two wanted cycles, 12 stop before them, three miss a throw.
SpreadReport told(int slices) {
  spread::SpreadPlan plan;
  plan.voltage_V = 12.6;
  plan.ambient_C = 80;
  plan.cycles = 2;
  plan.on_s = 0.7;
  plan.gap_s = 1;
  plan.samples = slices * 100;
  plan.slice = {1, slices};
  const std::vector<spread::Uncertain> sources{
      {"a-1/ptc/resistance_ohm", "thermistor resistance of a-1", "%", 25, "stated by the part", {0, 1}},
      {"a-2/ptc/resistance_ohm", "thermistor resistance of a-2", "%", 25, "stated by the part", {2}},
      {"internal_mohm", "internal resistance of the battery", "%", 33, "common practice, no source", {3}},
      {"ambient_C", "ambient", "K", 5, "stated by the job", {4}}};
  SpreadReport report;
  report.title = "Blue van";
  report.invented_parts = true;
  report.tally = spread::empty_tally(plan, sources);
  auto& tally = report.tally;
  tally.input = "0123456789abcdef0123456789abcdef";
  tally.slices = {1};
  tally.weak_V = 9;
  tally.weak_C = -20;
  tally.done = 100;
  tally.missed_throws = 3;
  tally.cycles = {2, 10, 20, 30, 20, 10, 5, 2, 1};
  for (const auto& figure : spread::figures()) {
    const bool is_throw = std::string(figure.name) == spread::throw_figure;
    tally.bins[figure.name] = {{spread::bin_of(figure, 2.5), is_throw ? 57 : 60},
                               {spread::bin_of(figure, 3), 40}};
    if (is_throw) tally.without[figure.name] = 3;
  }
  tally.tried = tally.done;
  tally.tried_lockouts = 12;
  tally.tightened = {4, 12, 12, 11};
  for (std::int64_t k = 0; k < tally.tried; ++k) {
    const std::int64_t a = k % 5, b = (k / 5) % 5;
    // All by the first source, but for a little of the last one.
    spread::add_pick_freeze(tally.influence, k, 10 * a, 10 * b, {10 * b, 10 * a, 10 * a, 10 * a + k % 2});
  }
  report.result = spread::conclude(tally);
  return report;
}

/// The only fault of a slice's JSON with one thing changed.
std::string fault_of(const std::function<void(ordered_json&)>& change) {
  auto json = ordered_json::parse(io::write_json(report::spread_json(told(2))));
  change(json);
  const auto raw = io::parse_json(json.dump(), "s.json");
  if (!raw.ok()) return raw.issues().front().line();
  const auto read = report::read_slice(raw.value(), "s.json");
  return read.ok() ? "" : read.issues().front().line();
}

}  // namespace

TEST_CASE("spread report: chances in percent keep the digits that matter") {
  CHECK(report::percent_text(0.1234, 2) == "12");
  CHECK(report::percent_text(0.1234, 3) == "12.3");
  CHECK(report::percent_text(0.00996, 2) == "1.0");
  CHECK(report::percent_text(0.0994, 2) == "9.9");
  CHECK(report::percent_text(0.0996, 2) == "10");
  CHECK(report::percent_text(0.99874, 2) == "99.87");
  CHECK(report::percent_text(0, 2) == "0");
  CHECK(report::percent_text(1, 2) == "100");
  // 1 - 0.025^(1/2000) = 0.00184, 1 - 0.025^(1/100) = 0.0362.
  CHECK(report::chance_text(spread::chance_of(0, 2000)) == "less than 0.2 %");
  CHECK(report::chance_text(spread::chance_of(0, 100)) == "less than 4 %");
  CHECK(report::chance_text(spread::chance_of(2000, 2000)) == "more than 99.8 %");
  CHECK(report::chance_text(spread::chance_of(0, 0)) == "not known");
}

TEST_CASE("spread report: sentences advise whoever sells it") {
  const auto sentences = report::spread_sentences(told(1).result);
  REQUIRE(sentences.size() == 4);
  CHECK(sentences[0] ==
        "About 1 car in 8 stops working until it cools before 2 cycles in a row at 12.6 V and 80 °C: 12 % "
        "(6.4 to 20.0 %).");
  CHECK(sentences[1] == "At 9 V and -20 °C about 1 car in 33 misses a first throw: 3.0 % (0.6 to 8.5 %).");
  CHECK(holds(sentences[2],
              "What matters most for cycles before a missed throw (share of its scatter): thermistor "
              "resistance of a-1 (100 %)."));
  CHECK(holds(sentences[3], "falls from 12 % to this: thermistor resistance of a-1, 4.0 %."));
}

TEST_CASE("spread report: odds in words hold for any chance") {
  auto report = told(1);
  const auto first = [&](std::int64_t count, std::int64_t of) {
    report.result.lockout = spread::chance_of(count, of);
    const std::string sentence = report::spread_sentences(report.result).front();
    return sentence.substr(0, sentence.find(" working"));
  };
  CHECK(first(0, 2000) == "None of 2000 cars stops");
  CHECK(first(2000, 2000) == "Every one of 2000 cars stops");
  CHECK(first(1, 2000) == "About 1 car in 2000 stops");
  CHECK(first(21, 2000) == "About 1 car in 95 stops");
  CHECK(first(500, 2000) == "About 1 car in 4 stops");
  CHECK(first(667, 2000) == "About 1 car in 3 stops");
  CHECK(first(800, 2000) == "About 2 cars in 5 stop");
  CHECK(first(1000, 2000) == "About 1 car in 2 stops");
  CHECK(first(1334, 2000) == "About 2 cars in 3 stop");
  CHECK(first(1500, 2000) == "All but about 1 car in 4 stop");
  CHECK(first(1990, 2000) == "All but about 1 car in 200 stop");
}

TEST_CASE("spread report: what tightening does not lower is said so") {
  auto report = told(1);
  report.tally.tightened = {12, 13, 12, 11};  // one car of twelve is luck
  report.result = spread::conclude(report.tally);
  CHECK(holds(report::spread_sentences(report.result).back(), "it takes another part or gentler use"));
  report.tally.tried_lockouts = 0;
  report.tally.tightened = {0, 0, 0, 0};
  report.result = spread::conclude(report.tally);
  CHECK(report::spread_sentences(report.result).size() == 3);
}

TEST_CASE("spread report: a study that was stopped says how far it came") {
  auto report = told(1);
  report.tally.plan.samples = 640;
  report.result = spread::conclude(report.tally);
  CHECK_FALSE(spread::finished(report.result));
  CHECK(holds(report::spread_sentences(report.result).back(), "Stopped after 100 of 640 samples"));
  CHECK(holds(report::spread_sentences(told(2).result).back(), "slice 1 of 2"));
  auto half = told(1);
  half.result.as_it_is.of = 30;
  CHECK(holds(report::spread_sentences(half.result).back(), "30 of 100 samples had been tried"));
}

TEST_CASE("spread report: the text has tables with where the chances come from") {
  const std::string text = report::spread_text(told(1), {});
  for (const char* words :
       {"Blue van: chances (12.6 V, 80 °C)", "2 cycles (wanted)", "12 % (6.4 to 20.0 %)",
        "whole cycles before a missed throw", "In 3.0 % a first throw is missed", "thermistor resistance",
        "thermistor resistance (2 parts)", "± 25 %", "± 5 K", "stated by the part",
        "internal resistance of the battery", "Example parts: measure yours"}) {
    INFO(words << " in\n" << text);
    CHECK(holds(text, words));
  }
  for (std::size_t from = 0; from < text.size();) {
    const std::size_t to = std::min(text.find('\n', from), text.size());
    CHECK(to - from < 130);  // bytes; some characters take two
    from = to + 1;
  }
}

TEST_CASE("spread report: the JSON has the keys that other programs read") {
  const auto json = ordered_json::parse(io::write_json(report::spread_json(told(1))));
  CHECK(json["verb"] == "spread");
  CHECK(json["at"] == ordered_json({{"ambient_C", 80}, {"voltage_V", 12.6}}));
  CHECK(json["samples"] == 100);
  CHECK(json["done"] == 100);
  CHECK(json["seed"] == 1);
  CHECK(json["lockout_chance"]["estimate"] == 0.12);
  CHECK(json["lockout_chance"]["level"] == 0.95);
  CHECK(json["missed_throw_chance"]["count"] == 3);
  CHECK(json["missed_throw_at"]["voltage_V"] == 9);
  CHECK(json["lockout_by_cycles"].size() == 8);
  CHECK(json["lockout_by_cycles"][1]["cycles"] == 2);
  CHECK(json["lockout_by_cycles"][1]["count"] == 12);
  CHECK(json["distributions"][0]["name"] == "cycles");
  CHECK(json["distributions"][0]["quantiles"][1] == ordered_json({0.5, 3}));
  CHECK(json["sensitivity"].size() == 4);
  CHECK(json["sensitivity"][0]["parameter"] == "a-1/ptc/resistance_ohm");
  CHECK(json["sensitivity"][0]["total"].get<double>() == Approx(1).margin(0.1));
  CHECK(json["tightening"]["as_it_is"]["count"] == 12);
  CHECK(json["tightening"]["halved"].size() == 2);
  CHECK_FALSE(json.contains("slice"));
  CHECK_FALSE(json.contains("tally"));
}

TEST_CASE("spread report: the CSV's shares of a figure add up to those that have it") {
  const std::string csv = report::spread_csv(told(1).result);
  CHECK(csv.starts_with("figure,unit,from,to,share\ncycles,cycles,-0.5,0.5,0.02\n"));
  double sum = 0;
  std::istringstream lines(csv);
  for (std::string line; std::getline(lines, line);) {
    if (line.starts_with(spread::throw_figure)) sum += std::stod(line.substr(line.rfind(',') + 1));
  }
  CHECK(sum == Approx(0.97));
}

TEST_CASE("spread report: a slice comes back from its file as it was") {
  const std::string written = io::write_json(report::spread_json(told(2)));
  const auto raw = io::parse_json(written, "s.json");
  REQUIRE(raw.ok());
  const auto read = report::read_slice(raw.value(), "s.json");
  REQUIRE(read.ok());
  CHECK(read.value().title == "Blue van");
  CHECK(read.value().invented_parts);
  CHECK(io::write_json(report::spread_json(read.value())) == written);
}

TEST_CASE("spread report: what is no slice or damaged is refused with its place") {
  CHECK(fault_of([](auto&) {}) == "");
  CHECK(holds(fault_of([](auto& j) { j = ordered_json::array(); }), "s.json: is no result of spread"));
  CHECK(holds(fault_of([](auto& j) { j["verb"] = "stall"; }), "s.json: is no result of spread"));
  CHECK(holds(fault_of([](auto& j) { j.erase("slice"); }), "s.json: is a whole spread and no slice of one"));
  CHECK(holds(fault_of([](auto& j) { j["program"]["version"] = "0.0.1"; }),
              "/program/version: was made by version"));
  CHECK(holds(fault_of([](auto& j) { j.erase("done"); }), "s.json: /done: is missing"));
  CHECK(holds(fault_of([](auto& j) { j["done"] = 101; }),
              "s.json: /done: 101 is not a whole number from 0 to 100"));
  CHECK(holds(fault_of([](auto& j) { j["tally"]["cycles"][0] = 3; }),
              "/tally/cycles: counts 101 samples of 100"));
  CHECK(holds(fault_of([](auto& j) { j["tally"]["cycles"].erase(0); }),
              "/tally/cycles: has 8 entries where 9 belong"));
  CHECK(
      holds(fault_of([](auto& j) { j["tally"]["tightened"].erase(0); }), "/tally/tightened: has 3 entries"));
  CHECK(holds(fault_of([](auto& j) { j["tally"]["tightened"][0] = 1.5; }),
              "/tally/tightened/0: 1.5 is not a whole"));
  CHECK(holds(fault_of([](auto& j) { j["tally"]["bins"]["trip_time_s"][0][1] = 59; }),
              "/tally/bins/trip_time_s: counts 99 samples of 100"));
  CHECK(holds(fault_of([](auto& j) {
                std::swap(j["tally"]["bins"]["trip_time_s"][0], j["tally"]["bins"]["trip_time_s"][1]);
              }),
              "bins must rise"));
  CHECK(holds(fault_of([](auto& j) { j["tally"]["influence"][2][0] = 0; }), "/tally/influence: counts"));
  CHECK(holds(fault_of([](auto& j) { j["tally"]["influence"][2].erase(3); }), "/tally/influence/2: has"));
  CHECK(holds(fault_of([](auto& j) { j["sources"][0]["half_width"] = "wide"; }), "/sources/0/half_width"));
  CHECK(holds(fault_of([](auto& j) { j["slice"]["part"] = 3; }),
              "/slice/part: 3 is not a whole number from 1 to 2"));
  CHECK(holds(fault_of([](auto& j) { j["settings"]["cycles"] = 1e9; }), "/settings/cycles"));
  CHECK(holds(fault_of([](auto& j) { j["tally"] = 5; }), "/tally: "));
}

}  // namespace latchwright
