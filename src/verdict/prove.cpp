// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <numeric>
#include <utility>

#include "model/tolerance.h"
#include "verdict/examine.h"

namespace latchwright::verdict {

namespace {

constexpr double later_s = 60;

/// What one door alone reads, held.
struct Held {
  std::optional<double> half_s;
  double later_A = 0;
  bool in_class = false;  ///< its winding, as long as the readings take
};

Held hold(const model::Study& study, std::size_t door, const sim::Condition& at) {
  base::NoProgress quiet;
  const sim::Circuit circuit = sim::make_circuit(study, at, {door});
  const auto peak_C = [&](double s) { return sim::simulate_stall(circuit, s, {}, quiet)[0].peak_winding_C; };
  Held held;
  held.half_s = sim::simulate_stall(circuit, fault_stall_s, {}, quiet)[0].trip_time_s;
  held.later_A = sim::simulate_stall(circuit, later_s, {}, quiet)[0].final_current_A;
  // One that does not trip is held until somebody gives up.
  const double longest_s = held.half_s ? std::max(*held.half_s, later_s) : fault_stall_s;
  held.in_class = peak_C(longest_s) <= study.actuator(door).motor.winding_class_C;
  return held;
}

/// The day as the job states it first, then the installation and the day a little different.
std::vector<sim::Condition> conditions(const model::Job& job, double tolerance) {
  const sim::Condition usual{.voltage_V = job.supply.usual_V, .ambient_C = job.climate.usual_C};
  std::vector<sim::Condition> all{usual};
  for (const double r : {-1.0, 1.0}) {
    for (const double v : {-1.0, 1.0}) {
      for (const double t : {-1.0, 1.0}) {
        all.push_back({.voltage_V = usual.voltage_V + v * job.spread.voltage_V,
                       .ambient_C = usual.ambient_C + t * job.spread.ambient_C,
                       .ptc_scale = 1 + r * tolerance});
      }
    }
  }
  return all;
}

/// The first value, and the range of all.
ProveReading reading_of(std::string words, const std::vector<double>& values, const char* unit) {
  const auto [low, high] = std::minmax_element(values.begin(), values.end());
  return {std::move(words), values.front(), *low, *high, unit};
}

ProveReading all_at_once(const model::Study& study) {
  std::vector<double> sums;
  for (const auto& at : conditions(study.job, model::ptc_tolerance(study.actuator(0)))) {
    const auto currents = sim::ambient_stall_currents(sim::make_circuit(study, at));
    sums.push_back(std::accumulate(currents.begin(), currents.end(), 0.0));
  }
  return reading_of("clamp on the feed, relay closed while every lock is already at its end: current at once",
                    sums, "A");
}

/// The two readings of one door held; none where that could pass its winding's class.
std::vector<ProveReading> one_held(const model::Study& study, std::size_t door) {
  std::vector<Held> held;
  for (const auto& at : conditions(study.job, model::ptc_tolerance(study.actuator(door)))) {
    held.push_back(hold(study, door, at));
    if (!held.back().in_class) return {};
  }
  ProveReading half{"clamp on the run of " + study.job.doors[door].name +
                        ", the only one connected, power kept on at the end of its travel: "
                        "time until the current has halved",
                    held.front().half_s, held.front().half_s, held.front().half_s, "s"};
  std::vector<double> later;
  for (const Held& each : held) {
    later.push_back(each.later_A);
    if (half.low && each.half_s) half.low = std::min(*half.low, *each.half_s);
    if (half.high) half.high = each.half_s ? std::optional(std::max(*half.high, *each.half_s)) : std::nullopt;
  }
  return {half, reading_of("the same: current left after 60 s (then switch off, it is hot)", later, "A")};
}

}  // namespace

std::vector<ProveReading> readings_to_prove(const model::Study& study) {
  std::vector<ProveReading> readings{all_at_once(study)};
  for (std::size_t door = 0; door < study.doors.size(); ++door) {
    const auto held = one_held(study, door);
    readings.insert(readings.end(), held.begin(), held.end());
    if (!held.empty()) return readings;
  }
  readings.push_back(
      {"keep the power on at the end of the travel of no lock: its winding could pass its class before "
       "the thermistor has tripped",
       std::nullopt, std::nullopt, std::nullopt, ""});
  return readings;
}

}  // namespace latchwright::verdict
