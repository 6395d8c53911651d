// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/look_sentence.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "sim/trace.h"
#include "verdict/nothing_left.h"

namespace latchwright::report {

namespace {

std::string seconds(double value) { return base::significant(value, 2); }

/// "front left, front right and tailgate".
std::string names_of(const CycleReport& report, const std::vector<std::size_t>& doors) {
  if (doors.size() > 1 && doors.size() == report.doors.size()) return "all doors";
  std::string names;
  for (std::size_t n = 0; n < doors.size(); ++n) {
    if (n > 0) names += n + 1 == doors.size() ? " and " : ", ";
    names += report.doors[doors[n]];
  }
  return names;
}

std::string throws_text(const CycleReport& report) {
  std::optional<double> quickest, slowest;
  for (const auto& door : report.result.doors) {
    if (!door.quickest_throw_s || !door.slowest_throw_s) continue;
    quickest = std::min(*door.quickest_throw_s, quickest.value_or(*door.quickest_throw_s));
    slowest = std::max(*door.slowest_throw_s, slowest.value_or(*door.slowest_throw_s));
  }
  if (!quickest) return "";
  const std::string from = seconds(*quickest), to = seconds(*slowest);
  return from == to ? fmt::format("; throws take {} s", from)
                    : fmt::format("; throws take {} to {} s", from, to);
}

/// Why nothing at all moves; empty where something does.
std::string stands_text(const sim::Circuit& circuit, const CycleReport& report) {
  if (verdict::nothing_left(sim::ambient_stall_currents(circuit))) {
    return verdict::nothing_left_text(report.other_load_A);
  }
  const auto& doors = report.result.doors;
  if (std::any_of(doors.begin(), doors.end(),
                  [](const auto& door) { return door.first_throw_s.has_value(); })) {
    return "";
  }
  sim::TraceObserver trace(circuit, report.plan.on_s / 20);
  sim::single_throw(circuit, report.plan.on_s, false, {&trace});
  for (const auto& sample : trace.samples()) {
    if (sample.rod_m > 0) return "";
  }
  return "no actuator moves its rod at this voltage";
}

/// A throw that fails with everything at ambient: no rest helps.
bool fails_cold(const sim::Circuit& circuit, const CycleReport& report) {
  const auto& lockout = *report.result.lockout;
  if (lockout.throw_number > 2) return false;
  if (lockout.throw_number == 1) return true;
  const auto arrivals = sim::single_throw(circuit, report.plan.on_s, true);
  return std::any_of(arrivals.begin(), arrivals.end(), [](const auto& arrival) { return !arrival; });
}

}  // namespace

std::string look_sentence(const sim::Circuit& circuit, const CycleReport& report) {
  const auto& result = report.result;
  const int wanted = report.plan.cycles;
  const char* const cycles = wanted == 1 ? "cycle" : "cycles";
  if (!result.lockout) {
    return fmt::format("{} of {} {}{}", result.cycles_done, wanted, cycles, throws_text(report));
  }
  const std::string stands = stands_text(circuit, report);
  if (!stands.empty()) return "nothing moves: " + stands;

  const sim::Lockout& lockout = *result.lockout;
  const std::string who = names_of(report, lockout.doors);
  const bool several = lockout.doors.size() > 1;
  const auto& known = lockout.recovery;
  const bool comes_back = known && known->recovery_s;
  if (fails_cold(circuit, report)) {
    std::string text =
        fmt::format("{} of {} {}: {} {} not arrive within the {} s pulse{}, not even from cold",
                    result.cycles_done, wanted, cycles, who, several ? "do" : "does",
                    base::exact_text(report.plan.on_s), lockout.throw_number == 2 ? " when unlocking" : "");
    if (comes_back) {
      text += *known->recovery_s > 0
                  ? fmt::format("; works after a rest of {}", base::wait_text(*known->recovery_s))
                  : std::string("; tried again at once it works");
    }
    return text;
  }
  std::string text = fmt::format("{} of {} {}, then {} {} working", result.cycles_done, wanted, cycles, who,
                                 several ? "stop" : "stops");
  if (known && !comes_back) return text + ", and no rest brings " + (several ? "them" : "it") + " back";
  if (comes_back && *known->recovery_s <= 0) return text + "; tried again at once, one throw works";
  text += several ? " until they cool" : " until it cools";
  if (comes_back) text += ": ready after " + base::wait_text(*known->recovery_s);
  return text;
}

}  // namespace latchwright::report
