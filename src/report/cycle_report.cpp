// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/cycle_report.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "report/stall_report.h"
#include "verdict/nothing_left.h"

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

namespace {

std::string names_of(const CycleReport& report, const std::vector<std::size_t>& doors) {
  std::string names;
  for (const std::size_t k : doors) names += (names.empty() ? "" : ", ") + base::printable(report.doors[k]);
  return names;
}

bool draws_nothing(const CycleReport& report) {
  std::vector<double> highest;
  for (const auto& door : report.result.doors) highest.push_back(door.peak_current_A);
  return verdict::nothing_left(highest);
}

/// When one throw works again, and when the thermistors are as they were.
std::string recovery_text(const sim::Recovery& recovery) {
  const double rest_s = *recovery.recovery_s;
  const std::string again = rest_s > 0
                                ? fmt::format("After {} of rest one throw works again", wait_text(rest_s))
                                : std::string("Tried again at once, one throw works");
  if (recovery.cooled_s <= 0) return again + ".\n";
  return fmt::format("{}; as good as cold, to a meter, after {}.\n", again, wait_text(recovery.cooled_s));
}

std::string lockout_text(const CycleReport& report, const sim::Lockout& found) {
  const std::string doors = names_of(report, found.doors);
  const bool comes_back = found.recovery && found.recovery->recovery_s;
  if (found.throw_number == 1) {
    // A study that goes on may see a later throw complete.
    const auto completes = [&](std::size_t k) { return report.result.doors[k].last_throw_s.has_value(); };
    const bool never = !comes_back && std::none_of(found.doors.begin(), found.doors.end(), completes);
    return fmt::format("{}: the first throw fails cold: {}.\n{}", never ? "Never works" : "Lockout at once",
                       doors, comes_back ? recovery_text(*found.recovery) : "");
  }
  const int done = report.result.cycles_done;
  const bool cools = comes_back && *found.recovery->recovery_s > 0;
  return fmt::format("Stops working{} (lockout) at throw {}, after {} whole {}: {}.\n{}",
                     cools ? " until it cools" : "", found.throw_number, done, done == 1 ? "cycle" : "cycles",
                     doors,
                     comes_back ? recovery_text(*found.recovery)
                                : "No rest brings it back: this throw fails cold too.\n");
}

/// What the columns of times do not say by themselves.
std::string column_notes(const CycleReport& report) {
  std::string out;
  const auto& found = report.result.lockout;
  if (found && found->throw_number > 1) {
    out += fmt::format("* did not complete throw {}; its time is that of the last throw that it did "
                       "complete.\n",
                       found->throw_number);
  }
  std::vector<std::size_t> differ;
  for (std::size_t k = 0; k < report.two_forces.size(); ++k) {
    if (report.two_forces[k] && report.result.doors[k].last_throw_s) differ.push_back(k);
  }
  if (!differ.empty()) {
    out += fmt::format("The first throw locks, the last one may unlock, where the rod takes another force: "
                       "{}.\n",
                       names_of(report, differ));
  }
  return out;
}

}  // namespace

std::string cycle_text(const CycleReport& report, const Style&) {
  const auto& plan = report.plan;
  std::string out = fmt::format(
      "{}: locking and unlocking in a row {}\npulse {} s, rest {} s, {} cycles tried (a cycle is lock plus unlock){}\n\n",
      report.title.empty() ? "Job" : report.title, condition_text(report.at.voltage_V, report.at.ambient_C),
      base::exact_text(plan.on_s), base::exact_text(plan.gap_s), plan.cycles,
      report.after_trip ? "; thermistors have tripped before" : "");
  const auto& found = report.result.lockout;
  if (!found) {
    const int done = report.result.cycles_done;
    out += done == 1 ? "Works through the one cycle.\n" : fmt::format("Works through all {} cycles.\n", done);
  } else {
    out += lockout_text(report, *found);
    if (draws_nothing(report)) {
      out += fmt::format("No current: {}.\n", verdict::nothing_left_text(report.other_load_A));
    }
  }
  using Align = TextTable::Align;
  TextTable table({{"door"},
                   {"first throw", Align::right},
                   {"last completed", Align::right},
                   {"highest current", Align::right},
                   {"hottest winding", Align::right},
                   {"its class", Align::right},
                   {"hottest thermistor", Align::right}});
  const auto seconds = [](const std::optional<double>& t) { return t ? significant(*t) + " s" : std::string("missed"); };
  for (std::size_t k = 0; k < report.result.doors.size(); ++k) {
    const auto& door = report.result.doors[k];
    const bool missed = found && found->throw_number > 1 &&
                        std::find(found->doors.begin(), found->doors.end(), k) != found->doors.end();
    table.add({base::printable(report.doors[k]) + (missed ? " *" : ""), seconds(door.first_throw_s),
               seconds(door.last_throw_s), significant(door.peak_current_A) + " A",
               significant(door.peak_winding_C) + " °C", significant(report.winding_class_C[k]) + " °C",
               significant(door.peak_ptc_C) + " °C" + (door.beyond_table ? " (guess)" : "")});
  }
  out += '\n' + table.text() + column_notes(report);
  if (report.invented_parts) out += "\nExample parts: measure yours before promising this.\n";
  return out;
}

}  // namespace latchwright::report
