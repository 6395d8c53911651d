// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <numeric>

#include "model/tolerance.h"
#include "verdict/examine.h"

namespace latchwright::verdict {

namespace {

constexpr double later_s = 60;

/// What the three readings are with the installation and the day a little different.
struct Readings {
  double all_A;
  std::optional<double> half_s;
  double later_A;
};

Readings read(const model::Study& study, const sim::Condition& at) {
  base::NoProgress quiet;
  Readings readings;
  const auto currents = sim::ambient_stall_currents(sim::make_circuit(study, at));
  readings.all_A = std::accumulate(currents.begin(), currents.end(), 0.0);
  const sim::Circuit first = sim::make_circuit(study, at, {0});
  readings.half_s = sim::simulate_stall(first, fault_stall_s, {}, quiet)[0].trip_time_s;
  readings.later_A = sim::simulate_stall(first, later_s, {}, quiet)[0].final_current_A;
  return readings;
}

}  // namespace

std::vector<ProveReading> readings_to_prove(const model::Study& study) {
  const model::Job& job = study.job;
  const sim::Condition usual{.voltage_V = job.supply.usual_V, .ambient_C = job.climate.usual_C};
  const Readings value = read(study, usual);
  Readings low = value, high = value;
  const double tolerance = model::ptc_tolerance(study.actuator(0));
  for (const double r : {-1.0, 1.0}) {
    for (const double v : {-1.0, 1.0}) {
      for (const double t : {-1.0, 1.0}) {
        const Readings other = read(study, {.voltage_V = usual.voltage_V + v * job.spread.voltage_V,
                                            .ambient_C = usual.ambient_C + t * job.spread.ambient_C,
                                            .ptc_scale = 1 + r * tolerance});
        low.all_A = std::min(low.all_A, other.all_A);
        high.all_A = std::max(high.all_A, other.all_A);
        low.later_A = std::min(low.later_A, other.later_A);
        high.later_A = std::max(high.later_A, other.later_A);
        if (low.half_s && other.half_s) low.half_s = std::min(*low.half_s, *other.half_s);
        if (high.half_s) high.half_s = other.half_s ? std::optional(std::max(*high.half_s, *other.half_s)) : std::nullopt;
      }
    }
  }
  const std::string door = job.doors[0].name;
  return {{"clamp on the feed, relay closed while every lock is already at its end: current at once", value.all_A,
           low.all_A, high.all_A, "A"},
          {"clamp on the run of " + door + ", the only one connected, power kept on at the end of its travel: "
           "time until the current has halved",
           value.half_s, low.half_s, high.half_s, "s"},
          {"the same: current left after 60 s (then switch off, it is hot)", value.later_A, low.later_A, high.later_A,
           "A"}};
}

}  // namespace latchwright::verdict
