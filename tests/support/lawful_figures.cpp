// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/lawful_figures.h"

#include <fmt/format.h>

#include <cmath>

namespace latchwright::tests {

namespace {

/// K; a step may be 3 mK off in every node (docs/model.md section 9), and a study has many.
constexpr double temperature_slack = 0.02;

class Faults {
 public:
  explicit Faults(std::string door) : door_(std::move(door)) {}

  /// low <= value <= high, and a number.
  void within(double value, double low, double high, const char* name) {
    if (!std::isfinite(value)) {
      add(fmt::format("{} is no number", name));
    } else if (value < low || value > high) {
      add(fmt::format("{} {:.9g} is not within {:.9g} to {:.9g}", name, value, low, high));
    }
  }
  void within(const std::optional<double>& value, double low, double high, const char* name) {
    if (value) within(*value, low, high, name);
  }
  void holds(bool condition, const char* what) {
    if (!condition) add(fmt::format("not so: {}", what));
  }
  void take(std::vector<std::string>& all) { all.insert(all.end(), texts_.begin(), texts_.end()); }

 private:
  void add(const std::string& text) { texts_.push_back(fmt::format("{}: {}", door_, text)); }

  std::string door_;
  std::vector<std::string> texts_;
};

constexpr double most = 1e300;  // finite is all that is asked

/// A node without heat capacity has no temperature of its own.
void check_temperatures(const sim::DoorCircuit& door, const physics::Temperatures& T, double coldest,
                        Faults& faults) {
  for (std::size_t n = 0; n < physics::heat_nodes; ++n) {
    const bool there = door.heat.capacity(static_cast<physics::HeatNode>(n)) > 0;
    faults.within(T[n], there ? coldest : -most, most, "a final temperature");
  }
}

}  // namespace

std::vector<std::string> wrong_figures(const sim::Circuit& circuit, double limit_s,
                                       const std::vector<sim::DoorStall>& stalls) {
  std::vector<std::string> all;
  const double coldest = circuit.at.ambient_C - temperature_slack;
  if (stalls.size() != circuit.doors.size()) all.push_back("not one result a door");
  for (std::size_t k = 0; k < stalls.size() && k < circuit.doors.size(); ++k) {
    const sim::DoorStall& door = stalls[k];
    Faults faults("stall, " + circuit.doors[k].name);
    faults.within(door.initial_current_A, 0, most, "initial_current_A");
    faults.within(door.final_current_A, 0, most, "final_current_A");
    faults.within(door.trip_time_s, 0, limit_s * (1 + 1e-9), "trip_time_s");
    faults.within(door.hold_current_A, 0, most, "hold_current_A");
    faults.within(door.peak_winding_C, coldest, most, "peak_winding_C");
    faults.within(door.final_winding_C, coldest, door.peak_winding_C + temperature_slack, "final_winding_C");
    check_temperatures(circuit.doors[k], door.final_C, coldest, faults);
    faults.holds(door.trip_time_s.has_value() == (door.limited_by == sim::LimitedBy::thermistor),
                 "what trips is the thermistor");
    faults.take(all);
  }
  return all;
}

std::vector<std::string> wrong_figures(const sim::Circuit& circuit, const sim::CyclePlan& plan,
                                       const sim::CycleResult& result) {
  std::vector<std::string> all;
  Faults study("cycles");
  study.within(result.cycles_done, 0, plan.cycles, "cycles_done");
  study.within(result.pulses, 1, 2 * plan.cycles, "pulses");
  if (result.lockout) {
    study.within(result.lockout->throw_number, 1, result.pulses, "lockout throw");
    study.holds(result.cycles_done == (result.lockout->throw_number - 1) / 2,
                "whole cycles come before the lockout");
    study.holds(!result.lockout->doors.empty(), "a lockout is some door's");
    if (const auto& recovery = result.lockout->recovery) {
      study.within(recovery->recovery_s, 0, most, "recovery_s");
      study.within(recovery->cooled_s, 0, most, "cooled_s");
    }
  } else {
    study.holds(result.cycles_done == plan.cycles, "all cycles are done without a lockout");
  }
  study.holds(result.doors.size() == circuit.doors.size(), "one result a door");
  study.take(all);
  const double coldest = circuit.at.ambient_C - temperature_slack;
  for (std::size_t k = 0; k < result.doors.size() && k < circuit.doors.size(); ++k) {
    const sim::DoorCycling& door = result.doors[k];
    Faults faults("cycles, " + circuit.doors[k].name);
    const double longest = plan.on_s * (1 + 1e-9);
    faults.within(door.first_throw_s, 0, longest, "first_throw_s");
    faults.within(door.quickest_throw_s, 0, longest, "quickest_throw_s");
    faults.within(door.slowest_throw_s, door.quickest_throw_s.value_or(0), longest, "slowest_throw_s");
    faults.within(door.last_throw_s, door.quickest_throw_s.value_or(0),
                  door.slowest_throw_s.value_or(longest), "last_throw_s");
    faults.within(door.peak_current_A, 0, most, "peak_current_A");
    faults.within(door.peak_ptc_C, coldest, most, "peak_ptc_C");
    faults.within(door.peak_winding_C, coldest, most, "peak_winding_C");
    faults.within(door.final_winding_C, coldest, door.peak_winding_C + temperature_slack, "final_winding_C");
    check_temperatures(circuit.doors[k], door.final_C, coldest, faults);
    for (const int missed : door.missed) faults.within(missed, 1, result.pulses, "a missed throw");
    faults.take(all);
  }
  return all;
}

}  // namespace latchwright::tests
