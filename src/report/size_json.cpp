// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "base/text.h"
#include "report/check_report.h"
#include "report/size_report.h"
#include "report/trace_csv.h"

namespace latchwright::report {

using choose::Pick;
using choose::Reason;
using choose::TurnedDown;
using model::Raw;
using verdict::CheckRow;

namespace {

Raw id_raw(const model::PartPtr& part) { return part ? Raw(part->id) : Raw(); }

Raw pick_raw(const Pick& pick) {
  const model::Study& study = pick.set.study;
  Raw::List doors;
  for (std::size_t k = 0; k < study.doors.size(); ++k) {
    const auto& parts = study.doors[k];
    doors.emplace_back(Raw::Object{{"door", Raw(study.job.doors[k].name)},
                                   {"actuator", id_raw(parts.actuator)},
                                   {"wire", id_raw(parts.wire)},
                                   {"fuse", id_raw(parts.fuse)}});
  }
  Raw::List checks;
  for (const CheckRow& row : pick.set.rows) checks.push_back(row_json(study, row));
  return Raw(Raw::Object{{"feed", Raw(Raw::Object{{"wire", id_raw(study.feed.wire)},
                                                  {"fuse", id_raw(study.feed.fuse)},
                                                  {"relay", id_raw(study.feed.relay)}})},
                         {"doors", Raw(std::move(doors))},
                         {"weakest", weakest_json(study, pick.set.rows[pick.set.weakest])},
                         {"checks", Raw(std::move(checks))},
                         {"price", figure(pick.price)}});
}

Raw because_raw(const model::Study& study, const TurnedDown& entry) {
  const bool check = entry.row.has_value();
  const std::string_view unit = entry.reason == Reason::insulation                          ? "sizes"
                                : entry.reason == Reason::voltage                           ? "V"
                                : entry.reason == Reason::slower                            ? "s"
                                : std::holds_alternative<model::Actuator>(entry.part->body) ? ""
                                : std::holds_alternative<model::Wire>(entry.part->body)     ? "mm2"
                                                                                            : "A";
  return Raw(Raw::Object{
      {"id", Raw(std::string(check ? verdict::info_of(entry.row->id).key : key_of(entry.reason)))},
      {"door", check && entry.row->door ? Raw(study.job.doors[*entry.row->door].name) : Raw()},
      {"at", check ? at_raw(entry.row->at) : Raw()},
      {"have", check ? figure(entry.row->have) : figure(entry.have)},
      {"need", check ? figure(entry.row->need) : figure(entry.need)},
      {"unit", Raw(check ? entry.row->unit : std::string(unit))}});
}

Raw nearest_raw(const choose::NearestMiss& miss) {
  Raw change;
  if (miss.job_change) {
    change = Raw(Raw::Object{{"pointer", Raw(miss.job_change->pointer)},
                             {"now", Raw(miss.job_change->now)},
                             {"passes_at", Raw(miss.job_change->passes_at)},
                             {"text", Raw(miss.job_change->text)}});
  }
  return Raw(Raw::Object{{"pick", pick_raw(miss.pick)},
                         {"sunk_by", row_json(miss.pick.set.study, miss.sunk_by)},
                         {"job_change", change}});
}

}  // namespace

std::string_view key_of(Reason reason) {
  switch (reason) {
    case Reason::check:
      return "check";
    case Reason::larger:
      return "larger_than_needed";
    case Reason::weaker:
      return "weaker_set";
    case Reason::not_judged:
      return "not_judged";
    case Reason::insulation:
      return "other_insulation";
    case Reason::slower:
      return "slower_family";
    case Reason::kinds:
      return "one_more_kind";
    case Reason::equal:
      return "serves_as_well";
    case Reason::voltage:
      return "rated_voltage";
  }
  return "";
}

Raw size_json(const model::Study& study, const choose::SizeResult& result) {
  Raw::List open;
  for (const auto& place : result.open) open.emplace_back(model::pointer_of(place));
  Raw::Object out = result_head(
      "size", std::nullopt, {{"open", Raw(std::move(open))}, {"rejected_on_s", figure(result.reasons_on_s)}});
  Raw::List picks;
  for (const Pick& pick : result.picks) picks.push_back(pick_raw(pick));
  out.emplace_back("picks", Raw(std::move(picks)));
  Raw::List rejected;
  for (const TurnedDown& entry : result.turned_down) {
    rejected.emplace_back(Raw::Object{{"part", Raw(entry.part->id)},
                                      {"for", Raw(entry.place)},
                                      {"because", Raw(Raw::List{because_raw(study, entry)})}});
  }
  out.emplace_back("rejected", Raw(std::move(rejected)));
  out.emplace_back("nearest", result.nearest ? nearest_raw(*result.nearest) : Raw());
  return Raw(std::move(out));
}

std::string size_csv(const choose::SizeResult& result) {
  const auto number = [](const std::optional<double>& value) {
    return value ? base::exact_text(*value) : std::string();
  };
  std::string out = "pick,id,door,part,margin,state,have,need,unit\n";
  for (std::size_t n = 0; n < result.picks.size(); ++n) {
    const auto& set = result.picks[n].set;
    for (const CheckRow& row : set.rows) {
      out += fmt::format("{},{},{},{},{},{},{},{},{}\n", n + 1, verdict::info_of(row.id).key,
                         row.door ? csv_field(set.study.job.doors[*row.door].name) : "", csv_field(row.part),
                         number(row.margin), verdict::word_of(row.verdict), number(row.have),
                         number(row.need), row.unit);
    }
  }
  return out;
}

}  // namespace latchwright::report
