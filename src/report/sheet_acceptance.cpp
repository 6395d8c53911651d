// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "report/sheet_sections.h"
#include "report/text_table.h"

namespace latchwright::report {

using base::exact_text;
using base::significant;

namespace {

std::string prove_figure(const std::optional<double>& value, const std::string& unit) {
  if (unit.empty()) return "–";
  return value ? significant(*value) + " " + unit : std::string("never");
}

SheetTable prove_table(const SheetFindings& findings) {
  SheetTable table;
  table.title = "The whole installation, with clamp and watch";
  table.columns = {{"reading"}, {"expected", true}, {"from", true}, {"to", true}};
  table.boxes = {"read", "within? yes / no"};
  for (const auto& reading : findings.examination.prove) {
    const bool known = reading.value.has_value();
    table.rows.push_back({reading.reading, prove_figure(reading.value, reading.unit),
                          known ? prove_figure(reading.low, reading.unit) : "–",
                          known ? prove_figure(reading.high, reading.unit) : "–"});
  }
  return table;
}

/// One table, or several where more doors have this actuator than boxes fit beside each other.
std::vector<SheetTable> bench_tables(const model::Study& study, const ActuatorBench& one) {
  constexpr std::size_t most_boxes = 3;
  std::vector<SheetTable> tables;
  for (std::size_t from = 0; from < one.doors.size(); from += most_boxes) {
    SheetTable table;
    table.title = fmt::format("{} ({}), by itself at {} V across its leads, air {} °C",
                              sheet_text(one.report.title), one.report.part,
                              exact_text(one.report.sheet.supply_V), exact_text(one.report.sheet.ambient_C));
    table.columns = {{"reading"}, {"how"}, {"expected", true}, {"from", true}, {"to", true}};
    for (std::size_t k = from; k < std::min(from + most_boxes, one.doors.size()); ++k) {
      table.boxes.push_back(door_name(study, one.doors[k]));
    }
    for (const auto& reading : one.report.sheet.readings) {
      const bool known = reading.value.has_value();
      table.rows.push_back({reading.name, reading.remark, known ? reading_text(*reading.value, reading) : "–",
                            known ? reading_text(reading.low, reading) : "–",
                            known ? reading_text(reading.high, reading) : "–"});
    }
    tables.push_back(std::move(table));
  }
  return tables;
}

SheetTable door_trials(const model::Study& study) {
  SheetTable table;
  table.title = "Every door, by hand and by itself: yes or no";
  table.columns = {{"door"}};
  table.boxes = {"opens by hand: inside", "outside", "and when locked", "locks, full travel",
                 "unlocks, full travel"};
  for (std::size_t k = 0; k < study.doors.size(); ++k) table.rows.push_back({door_name(study, k)});
  return table;
}

SheetTable other_trials(const model::Study& study) {
  const model::Use& use = study.job.use;
  SheetTable table;
  table.title = "And also";
  table.columns = {{"what is tried"}};
  table.boxes = {"yes / no"};
  table.rows = {{"Battery was off while the wiring was open; airbag circuits were left alone"},
                {"Every fuse has the rating of this sheet; nothing is bridged or bypassed"},
                {"Wires are tied clear of window, rods and edges; every crimp was pulled"},
                {fmt::format("{} {} in a row ({} s between pulses): every throw completes", use.cycles,
                             use.cycles == 1 ? "cycle" : "cycles", exact_text(use.gap_s))},
                {"The owner has the first page and was told what to do when the locks have stopped"}};
  return table;
}

}  // namespace

SheetSection acceptance_section(const model::Study& study, const SheetFindings& findings) {
  SheetSection section{"acceptance", "Acceptance test", {}};
  auto& blocks = section.blocks;
  blocks.emplace_back(SheetNotice{SheetNotice::Kind::caution, "Before you test", bench_cautions()});
  blocks.emplace_back(SheetParagraph{
      fmt::format("Expected figures hold at {} V and {} °C, everything cold when the reading begins. Within "
                  "\"from\" and \"to\" it is as "
                  "computed; outside, look for the cause before the car is handed over.",
                  exact_text(study.job.supply.usual_V), exact_text(study.job.climate.usual_C))});
  blocks.emplace_back(
      SheetForm{{"vehicle", "battery voltage at rest, V", "air temperature, °C", "clamp and meter"}});
  blocks.emplace_back(prove_table(findings));
  blocks.emplace_back(door_trials(study));
  blocks.emplace_back(other_trials(study));
  blocks.emplace_back(SheetHeading{"Each actuator by itself, before it is fitted"});
  for (const ActuatorBench& one : findings.actuators) {
    if (!one.report.sheet.warnings.empty()) {
      blocks.emplace_back(SheetNotice{SheetNotice::Kind::stop, "Before " + one.report.part + " is held",
                                      one.report.sheet.warnings});
    }
    for (SheetTable& table : bench_tables(study, one)) blocks.emplace_back(std::move(table));
    if (one.report.invented) {
      blocks.emplace_back(SheetParagraph{"Example part: measure yours before promising this.", true});
    }
  }
  blocks.emplace_back(SheetHeading{"Accepted"});
  blocks.emplace_back(
      SheetForm{{"date", "fitter's name", "fitter's signature", "owner's name", "owner's signature"}});
  return section;
}

}  // namespace latchwright::report
