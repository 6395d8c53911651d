// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/log_signs.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "base/failure.h"
#include "base/text.h"

namespace latchwright::bench {

namespace {

using base::significant;

constexpr double widest_interval_s = 1;  // a trip of some seconds needs samples inside it
constexpr double longest_on_s = 7200;    // nobody holds one so long
constexpr double shortest_on_s = 0.4;
constexpr double without_volts = 0.3;  // share of the largest current that no clamp's zero reaches
constexpr double least_without_A = 0.5;
constexpr double held_share = 0.3;      // of the largest current: the rotor stands
constexpr double nothing_share = 0.03;  // no current but the clamp's zero
constexpr double longest_rise_s = 0.1;  // inductance and the free way up to the held rod
constexpr double most_times = 5;        // the like part's current, either way
constexpr double least_sag_ohm = 0.01;
constexpr double least_fall_A = 1;

double middle_of(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

void refuse_times(const std::string& name, const std::vector<double>& time_s, const std::vector<bool>& on) {
  std::vector<double> intervals;
  double begin = 0, end = 0;
  for (std::size_t k = 0; k < time_s.size(); ++k) {
    if (!on[k]) continue;
    if (k > 0 && on[k - 1]) intervals.push_back(time_s[k] - time_s[k - 1]);
    if (intervals.empty()) begin = time_s[k];
    end = time_s[k];
  }
  if (intervals.empty()) return;
  constexpr const char* unit = "is the time in the unit that its column's name says (time_ms, time_us)?";
  const double interval = middle_of(std::move(intervals));
  if (interval > widest_interval_s) {
    throw base::UsageError(fmt::format("{}: the samples are {} apart, too far to follow a trip; {}", name,
                                       base::wait_text(interval), unit));
  }
  if (end - begin > longest_on_s) {
    throw base::UsageError(
        fmt::format("{}: the power is on for {}; {}", name, base::wait_text(end - begin), unit));
  }
  if (end - begin < shortest_on_s) {
    throw base::UsageError(fmt::format("{}: the power is on for {} s (at least {} s are wanted); {}", name,
                                       significant(end - begin), shortest_on_s, unit));
  }
}

}  // namespace

void refuse_by_signs(const std::string& name, const std::vector<double>& time_s,
                     const std::vector<double>& current_A, const std::vector<double>& voltage_V,
                     const std::vector<bool>& on) {
  refuse_times(name, time_s, on);
  const auto first = static_cast<std::size_t>(std::find(on.begin(), on.end(), true) - on.begin());
  std::vector<double> before, without;  // without power: before it came on, and after it went
  double largest = 0, switched_s = -1e9;
  for (std::size_t k = 0; k < time_s.size(); ++k) {
    if (k > 0 && on[k] != on[k - 1]) switched_s = time_s[k];
    if (std::isnan(current_A[k])) continue;
    largest = std::max(largest, std::fabs(current_A[k]));
    if (on[k] || time_s[k] - switched_s < settle_s) continue;
    (k < first ? before : without).push_back(current_A[k]);
  }
  const double zero = before.empty() ? 0.0 : middle_of(before);
  for (const auto* off : {&before, &without}) {
    if (off->size() < 3) continue;
    const double flows = middle_of(*off) - (off == &without ? zero : 0.0);
    if (std::fabs(flows) < std::max(without_volts * largest, least_without_A)) continue;
    throw base::UsageError(
        fmt::format("{}: the current reads {} A while the voltage is below {} V: are current_A and voltage_V "
                    "swapped, or was "
                    "the voltage not taken at the actuator's own leads?",
                    name, significant(flows), significant(power_on_V, 2)));
  }
  // The first sample at which a held motor's current flows.
  std::vector<double> early_A, early_V;
  std::size_t k = first;
  for (; k < time_s.size(); ++k) {
    if (!on[k] || std::isnan(current_A[k])) continue;
    if (current_A[k] - zero > held_share * largest) break;
    early_A.push_back(current_A[k] - zero);
    early_V.push_back(voltage_V[k]);
  }
  if (k == time_s.size() || early_A.size() < 2) return;
  const double late_s = time_s[k] - time_s[first];
  if (late_s < longest_rise_s) return;
  const double early = middle_of(early_A);
  if (std::fabs(early) < std::max(nothing_share * largest, 0.03)) {
    throw base::UsageError(fmt::format(
        "{}: {} V stand for {} s before any current flows: that voltage is not the one at the actuator's own "
        "leads, behind the switch. The ohms of switch and wires would count as the motor's: log it there",
        name, significant(middle_of(early_V)), significant(late_s)));
  }
  throw base::UsageError(
      fmt::format("{}: for {} s after power on {} A flow, then {} A: it moved or ran free before it was "
                  "held. Let it cool, hold the "
                  "rod first and log it again",
                  name, significant(late_s), significant(early, 2), significant(current_A[k] - zero)));
}

void refuse_same_logs(const std::vector<model::BenchLog>& held, const std::vector<model::BenchLog>& free) {
  std::vector<const model::BenchLog*> all;
  for (const auto& log : held) all.push_back(&log);
  for (const auto& log : free) all.push_back(&log);
  const auto same = [](const std::vector<double>& a, const std::vector<double>& b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                      [](double x, double y) { return x == y || (std::isnan(x) && std::isnan(y)); });
  };
  for (std::size_t a = 0; a < all.size(); ++a) {
    for (std::size_t b = a + 1; b < all.size(); ++b) {
      if (!same(all[a]->current_A, all[b]->current_A) || !same(all[a]->voltage_V, all[b]->voltage_V))
        continue;
      throw base::UsageError(
          fmt::format("{}: holds the same samples as {}: a log counts once", all[b]->name, all[a]->name));
    }
  }
}

void refuse_other_size(const ReducedLog& log, double cold_A, double zero_A) {
  const double first = log.first_current_A - zero_A;
  if (first > cold_A / most_times && first < cold_A * most_times) return;
  throw base::UsageError(fmt::format(
      "{}: begins at {} A where a cold one like it, held, draws {} A at {} V. Was it at ambient when the "
      "power came "
      "on, does the log begin with that, was the rod held, is the current in the unit that its column's name "
      "says, is --like near what was measured?",
      log.name, significant(first), significant(cold_A), significant(log.on_voltage_V)));
}

void refuse_held_as_free(const ReducedLog& log, double cold_ohm, double brush_drop_V) {
  constexpr double most_share = 0.6;
  const double held_A = std::max(0.0, log.on_voltage_V - brush_drop_V) / cold_ohm;
  std::vector<double> amps;
  for (const Bin& bin : log.bins) {
    if (bin.on && bin.weight > 0 && bin.time_s > settle_s) amps.push_back(bin.current_A);
  }
  if (amps.empty()) return;
  const double runs = middle_of(std::move(amps)) - log.zero_A.value_or(0);
  if (runs < most_share * held_A) return;
  throw base::UsageError(fmt::format("{}: {} A in the middle, and a held one draws {} A: did it run free?",
                                     log.name, significant(runs), significant(held_A)));
}

std::string no_sag_remark(const ReducedLog& log) {
  const Bin* highest = nullptr;
  const Bin* lowest = nullptr;
  for (const Bin& bin : log.bins) {
    if (!bin.on || !(bin.weight > 0) || bin.time_s < settle_s) continue;
    if (highest == nullptr || bin.current_A > highest->current_A) highest = &bin;
    if (lowest == nullptr || bin.current_A < lowest->current_A) lowest = &bin;
  }
  if (highest == nullptr) return {};
  const double fall = highest->current_A - lowest->current_A;
  if (fall < least_fall_A || lowest->voltage_V - highest->voltage_V > least_sag_ohm * fall) return {};
  return fmt::format(
      "{}: the voltage does not sag under {} A: if it was taken at the supply, the ohms of the wires count "
      "as "
      "the motor's; take it at the actuator's own leads",
      log.name, significant(highest->current_A));
}

}  // namespace latchwright::bench
