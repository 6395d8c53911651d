// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/stall_report.h"

#include <fmt/format.h>

#include "base/text.h"
#include "verdict/nothing_left.h"

namespace latchwright::report {

using base::significant;
using base::wait_text;
using model::Raw;

model::Raw temperatures_raw(const physics::Temperatures& T, double winding_C) {
  return Raw(Raw::Object{{"winding_C", figure(winding_C)},
                         {"case_C", figure(T[physics::motor_case])},
                         {"ptc_C", figure(T[physics::ptc])},
                         {"housing_C", figure(T[physics::housing])}});
}

Raw stall_json(const StallReport& report) {
  Raw::Object result = result_head("stall", report.at,
                                   {{"limit_s", Raw(report.limit_s)}, {"after_trip", Raw(report.after_trip)}});
  Raw::List doors;
  for (std::size_t k = 0; k < report.stalls.size(); ++k) {
    const auto& stall = report.stalls[k];
    const Raw limited = stall.limited_by == sim::LimitedBy::thermistor ? Raw("thermistor")
                        : stall.limited_by == sim::LimitedBy::winding  ? Raw("winding")
                                                                       : Raw();
    doors.emplace_back(Raw::Object{{"door", Raw(report.doors[k])},
                                   {"initial_current_A", figure(stall.initial_current_A)},
                                   {"trip_time_s", figure(stall.trip_time_s)},
                                   {"limited_by", limited},
                                   {"final_current_A", figure(stall.final_current_A)},
                                   {"hold_current_A", figure(stall.hold_current_A)},
                                   {"peak_winding_C", figure(stall.peak_winding_C)},
                                   {"permitted_C", figure(report.winding_fault_C[k])},
                                   {"beyond_table", Raw(stall.beyond_table)},
                                   {"final", temperatures_raw(stall.final_C, stall.final_winding_C)}});
  }
  result.emplace_back("doors", Raw(std::move(doors)));
  return Raw(std::move(result));
}

std::string stall_text(const StallReport& report, const Style&) {
  std::string out = fmt::format("{}: every rod held, power on for {} {}{}\n\n",
                                report.title.empty() ? "Job" : report.title, wait_text(report.limit_s),
                                condition_text(report.at.voltage_V, report.at.ambient_C),
                                report.after_trip ? ", thermistors have tripped before" : "");
  using Align = TextTable::Align;
  TextTable table({{"door"},
                   {"current at once", Align::right},
                   {"trips after", Align::right},
                   {"current at the end", Align::right},
                   {"hold current", Align::right},
                   {"hottest winding", Align::right},
                   {"permitted in a fault", Align::right}});
  for (std::size_t k = 0; k < report.stalls.size(); ++k) {
    const auto& s = report.stalls[k];
    table.add({base::printable(report.doors[k]), significant(s.initial_current_A) + " A",
               s.trip_time_s                                   ? significant(*s.trip_time_s) + " s"
               : s.limited_by == sim::LimitedBy::winding ? std::string("no: winding only")
                                                         : std::string("no"),
               significant(s.final_current_A) + " A", s.hold_current_A ? significant(*s.hold_current_A) + " A" : "any",
               significant(s.peak_winding_C) + " °C", significant(report.winding_fault_C[k]) + " °C"});
  }
  out += table.text();
  std::string too_hot;
  std::vector<double> at_once;
  for (std::size_t k = 0; k < report.stalls.size(); ++k) {
    at_once.push_back(report.stalls[k].initial_current_A);
    if (report.stalls[k].peak_winding_C <= report.winding_fault_C[k]) continue;
    too_hot += (too_hot.empty() ? "" : ", ") + base::printable(report.doors[k]);
  }
  if (verdict::nothing_left(at_once)) {
    out += fmt::format("\nNo current: {}.\n", verdict::nothing_left_text(report.other_load_A));
  }
  if (!too_hot.empty()) {
    out += fmt::format("\nToo hot: {} (hottest winding above what is permitted in a fault).\n", too_hot);
  }
  for (std::size_t k = 0; k < report.stalls.size(); ++k) {
    const std::string door = base::printable(report.doors[k]);
    if (report.stalls[k].limited_by == sim::LimitedBy::winding) {
      out += fmt::format("{}: the current halves because the copper heats, not because the thermistor trips: that is "
                         "no protection.\n", door);
    }
    if (report.stalls[k].beyond_table) {
      out += fmt::format("{}: the thermistor passes the end of its table; figures beyond it are a guess.\n", door);
    }
  }
  if (report.invented_parts) out += "\nExample parts: measure yours before promising this.\n";
  return out;
}

}  // namespace latchwright::report
