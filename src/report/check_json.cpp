// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "base/text.h"
#include "report/check_report.h"
#include "report/trace_csv.h"

namespace latchwright::report {

using model::Raw;
using verdict::CheckRow;

namespace {

const verdict::Rows& rows_of(const verdict::Examination& examination, bool every_row) {
  return every_row ? examination.all : examination.worst;
}

Raw door_raw(const model::Study& study, const CheckRow& row) {
  return row.door ? Raw(study.job.doors[*row.door].name) : Raw();
}

Raw part_raw(const CheckRow& row) { return row.part.empty() ? Raw() : Raw(row.part); }

Raw setting_raw(const verdict::Setting& setting) {
  if (const auto* number = std::get_if<double>(&setting)) return Raw(*number);
  if (const auto* id = std::get_if<std::string>(&setting)) return Raw(*id);
  return Raw();
}

Raw::Object change_members(const verdict::Change& change) {
  return {{"pointer", Raw(change.pointer)},
          {"now", setting_raw(change.now)},
          {"passes_at", setting_raw(change.passes_at)},
          {"text", Raw(change.text)}};
}

Raw change_raw(const std::optional<verdict::Change>& change) {
  return change ? Raw(change_members(*change)) : Raw();
}

Raw cures_raw(const model::Study& study, const std::vector<verdict::Cure>& cures) {
  Raw::List list;
  for (const verdict::Cure& cure : cures) {
    Raw::List moves, breaks;
    for (const verdict::Move& move : cure.moves) {
      moves.emplace_back(Raw::Object{{"id", Raw(std::string(verdict::info_of(move.id).key))},
                                     {"door", move.door ? Raw(study.job.doors[*move.door].name) : Raw()},
                                     {"part", move.part.empty() ? Raw() : Raw(move.part)},
                                     {"margin_now", figure(move.margin_now)},
                                     {"margin_then", figure(move.margin_then)},
                                     {"state_then", Raw(std::string(verdict::word_of(move.verdict_then)))}});
    }
    for (const verdict::CheckId id : cure.breaks) breaks.emplace_back(std::string(verdict::info_of(id).key));
    Raw::Object members = change_members(cure.change);
    members.emplace_back("moves", Raw(std::move(moves)));
    members.emplace_back("breaks", Raw(std::move(breaks)));
    list.emplace_back(std::move(members));
  }
  return Raw(std::move(list));
}

}  // namespace

Raw row_json(const model::Study& study, const CheckRow& row) {
  Raw::Object members{{"id", Raw(std::string(verdict::info_of(row.id).key))},
                      {"door", door_raw(study, row)},
                      {"part", part_raw(row)},
                      {"margin", figure(row.margin)},
                      {"state", Raw(std::string(verdict::word_of(row.verdict)))},
                      {"at", at_raw(row.at)},
                      {"have", figure(row.have)},
                      {"need", figure(row.need)},
                      {"unit", Raw(row.unit)},
                      {"why", Raw(row.why)},
                      {"change", change_raw(row.change)},
                      {"cures", cures_raw(study, row.cures)}};
  if (row.band) members.emplace_back("band", Raw(Raw::List{Raw(row.band->first), Raw(row.band->second)}));
  return Raw(std::move(members));
}

Raw weakest_json(const model::Study& study, const CheckRow& weakest) {
  return Raw(Raw::Object{{"id", Raw(std::string(verdict::info_of(weakest.id).key))},
                         {"door", door_raw(study, weakest)},
                         {"part", part_raw(weakest)},
                         {"margin", figure(weakest.margin)},
                         {"at", at_raw(weakest.at)}});
}

Raw check_json(const model::Study& study, const verdict::Examination& examination, bool every_row) {
  Raw::Object result = result_head("check", std::nullopt, {{"all_corners", Raw(every_row)}});
  result.emplace_back("pass", Raw(examination.pass));
  result.emplace_back("weakest", weakest_json(study, examination.worst[examination.weakest]));
  Raw::List checks;
  for (const CheckRow& row : rows_of(examination, every_row)) checks.push_back(row_json(study, row));
  result.emplace_back("checks", Raw(std::move(checks)));
  Raw::List prove;
  for (const auto& reading : examination.prove) {
    prove.emplace_back(Raw::Object{{"reading", Raw(reading.reading)},
                                   {"value", figure(reading.value)},
                                   {"low", figure(reading.low)},
                                   {"high", figure(reading.high)},
                                   {"unit", Raw(reading.unit)}});
  }
  result.emplace_back("prove", Raw(std::move(prove)));
  return Raw(std::move(result));
}

std::string check_csv(const model::Study& study, const verdict::Examination& examination, bool every_row) {
  const auto number = [](const std::optional<double>& value) {
    return value ? base::exact_text(*value) : std::string();
  };
  std::string out = "id,door,part,margin,state,ambient_C,voltage_V,have,need,unit,why\n";
  for (const CheckRow& row : rows_of(examination, every_row)) {
    const std::string fields[] = {std::string(verdict::info_of(row.id).key),
                                  row.door ? csv_field(study.job.doors[*row.door].name) : "",
                                  csv_field(row.part),
                                  number(row.margin),
                                  std::string(verdict::word_of(row.verdict)),
                                  row.at ? base::exact_text(row.at->ambient_C) : "",
                                  row.at ? base::exact_text(row.at->voltage_V) : "",
                                  number(row.have),
                                  number(row.need),
                                  row.unit,
                                  csv_field(row.why)};
    out += fmt::format("{}\n", fmt::join(fields, ","));
  }
  return out;
}

bool uses_invented_parts(const model::Study& study) {
  const auto invented = [](const model::PartPtr& part) { return part && part->source.kind == "invented"; };
  bool any = invented(study.feed.wire) || invented(study.feed.fuse) || invented(study.feed.relay);
  for (const auto& door : study.doors) any = any || invented(door.actuator) || invented(door.wire) || invented(door.fuse);
  return any;
}

}  // namespace latchwright::report
