// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/cycle_report.h"

#include <fmt/format.h>

#include "base/text.h"
#include "report/stall_report.h"

namespace latchwright::report {

using base::significant;
using base::wait_text;
using model::Raw;

Raw cycle_json(const CycleReport& report) {
  const auto& plan = report.plan;
  Raw::Object result = result_head("cycle", report.at,
                                   {{"cycles", Raw(plan.cycles)},
                                    {"on_s", Raw(plan.on_s)},
                                    {"gap_s", Raw(plan.gap_s)},
                                    {"after_trip", Raw(report.after_trip)},
                                    {"on_through", Raw(plan.on_through)}});
  result.emplace_back("cycles_done", Raw(report.result.cycles_done));
  Raw lockout;
  if (const auto& found = report.result.lockout) {
    Raw::List doors;
    for (const std::size_t k : found->doors) doors.emplace_back(report.doors[k]);
    const auto recovery = found->recovery.value_or(sim::Recovery{});
    lockout = Raw(Raw::Object{{"throw", Raw(found->throw_number)},
                              {"doors", Raw(std::move(doors))},
                              {"recovery_s", figure(recovery.recovery_s)},
                              {"cooled_s", figure(recovery.cooled_s)}});
  }
  result.emplace_back("lockout", std::move(lockout));
  Raw::List doors;
  for (std::size_t k = 0; k < report.result.doors.size(); ++k) {
    const auto& door = report.result.doors[k];
    doors.emplace_back(Raw::Object{{"door", Raw(report.doors[k])},
                                   {"first_throw_s", figure(door.first_throw_s)},
                                   {"last_throw_s", figure(door.last_throw_s)},
                                   {"peak_current_A", figure(door.peak_current_A)},
                                   {"peak_winding_C", figure(door.peak_winding_C)},
                                   {"peak_ptc_C", figure(door.peak_ptc_C)},
                                   {"beyond_table", Raw(door.beyond_table)},
                                   {"final", temperatures_raw(door.final_C, door.final_winding_C)}});
  }
  result.emplace_back("doors", Raw(std::move(doors)));
  return Raw(std::move(result));
}

std::string cycle_text(const CycleReport& report, const Style&) {
  const auto& plan = report.plan;
  std::string out = fmt::format(
      "{}: locking and unlocking in a row {}\npulse {} s, rest {} s, {} cycles tried (a cycle is lock plus unlock){}\n\n",
      report.title.empty() ? "Job" : report.title, condition_text(report.at.voltage_V, report.at.ambient_C),
      base::exact_text(plan.on_s), base::exact_text(plan.gap_s), plan.cycles,
      report.after_trip ? "; thermistors have tripped before" : "");
  const auto& found = report.result.lockout;
  if (!found) {
    out += fmt::format("Works through all {} cycles.\n", report.result.cycles_done);
  } else {
    std::string doors;
    for (const std::size_t k : found->doors) doors += (doors.empty() ? "" : ", ") + base::printable(report.doors[k]);
    out += fmt::format("Stops working until it cools (lockout) at throw {}, after {} whole cycles: {}.\n",
                       found->throw_number, report.result.cycles_done, doors);
    if (found->recovery) {
      out += found->recovery->recovery_s
                 ? fmt::format("Works again after {} of rest; a meter reads cold after {}.\n",
                               wait_text(*found->recovery->recovery_s), wait_text(found->recovery->cooled_s))
                 : fmt::format("No rest brings it back: this throw fails cold too. A meter reads cold after {}.\n",
                               wait_text(found->recovery->cooled_s));
    }
  }
  using Align = TextTable::Align;
  TextTable table({{"door"},
                   {"first throw", Align::right},
                   {"last throw", Align::right},
                   {"highest current", Align::right},
                   {"hottest winding", Align::right},
                   {"its class", Align::right},
                   {"hottest thermistor", Align::right}});
  const auto seconds = [](const std::optional<double>& t) { return t ? significant(*t) + " s" : std::string("missed"); };
  for (std::size_t k = 0; k < report.result.doors.size(); ++k) {
    const auto& door = report.result.doors[k];
    table.add({base::printable(report.doors[k]), seconds(door.first_throw_s), seconds(door.last_throw_s),
               significant(door.peak_current_A) + " A", significant(door.peak_winding_C) + " °C",
               significant(report.winding_class_C[k]) + " °C",
               significant(door.peak_ptc_C) + " °C" + (door.beyond_table ? " (guess)" : "")});
  }
  out += '\n' + table.text();
  if (report.invented_parts) out += "\nExample parts: measure yours before promising this.\n";
  return out;
}

}  // namespace latchwright::report
