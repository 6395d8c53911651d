// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "spread/map.h"
#include "spread/spread.h"

// A map and a spread that nobody computed, with every case in them.
namespace latchwright::tests {

/// Five cycles wanted, counted to 20. Rests: none needed at -20 °C, 0.73 s at 23 °C, 2.41 s at 60 °C, none
/// does at 80 °C.
inline spread::LockoutMap hand_made_rests() {
  spread::LockoutMap map;
  map.plan = {12.6, -20, 80, spread::MapAxis::gap, 0, 10, 0.7, 1, 5};
  map.most = 20;
  map.ambient_C = {-20, 23, 60, 80};
  map.values_s = {0, 0.5, 1, 2, 3, 10};
  map.cycles_done = {{9, 12, 20, 20, 20, 20}, {3, 4, 6, 11, 20, 20}, {1, 1, 2, 4, 7, 20}, {0, 0, 1, 1, 2, 4}};
  map.boundary = {{23, 0.73}, {60, 2.41}};
  return map;
}

/// Pulses: all to 3 s at -20 °C, up to 0.42 s at 60 °C, none at 80 °C.
inline spread::LockoutMap hand_made_pulses() {
  spread::LockoutMap map;
  map.plan = {12.6, -20, 80, spread::MapAxis::on, 0.12, 3, 0.7, 1, 5};
  map.most = 20;
  map.ambient_C = {-20, 60, 80};
  map.values_s = {0.12, 0.3, 0.5, 0.7, 3};
  map.cycles_done = {{0, 20, 20, 12, 5}, {0, 9, 4, 2, 1}, {0, 4, 2, 1, 0}};
  map.boundary = {{60, 0.42}};
  return map;
}

inline spread::Chance chance(std::int64_t count, std::int64_t of) {
  const double p = static_cast<double>(count) / static_cast<double>(of);
  return {p, count == 0 ? 0 : 0.8 * p, count == of ? 1 : p + 0.01, 0.95, count, of};
}

/// 5 cycles wanted; 240 of 2000 stop before; two figures, one of them not in all; two sources.
inline spread::SpreadResult hand_made_spread() {
  spread::SpreadResult result;
  result.plan.voltage_V = 12.6;
  result.plan.ambient_C = 80;
  result.plan.cycles = 5;
  result.plan.on_s = 0.7;
  result.plan.gap_s = 1;
  result.done = 2000;
  result.lockout = chance(240, 2000);
  result.missed_throw = chance(0, 2000);
  for (const int stopped : {0, 0, 20, 90, 240, 600, 1100, 1500, 1800, 2000}) {
    result.lockout_by_cycles.push_back(chance(stopped, 2000));
  }
  result.distributions.push_back({"cycles",
                                  "whole cycles before a missed throw",
                                  "cycles",
                                  {{0.05, 2}, {0.5, 4}, {0.95, 5}},
                                  {{1.5, 2.5, 0.1}, {2.5, 3.5, 0}, {3.5, 4.5, 0.6}, {4.5, 5.5, 0.3}},
                                  0,
                                  ""});
  result.distributions.push_back({"trip_time_s",
                                  "time to the first thermistor's trip, all doors held",
                                  "s",
                                  {{0.05, 6.1}, {0.5, 9.4}, {0.95, 14.2}},
                                  {{5, 8, 0.2}, {8, 12, 0.7}, {12, 20, 0.1}},
                                  0.03,
                                  "no thermistor trips in 600 s"});
  result.influence_of = "cycles before a missed throw";
  result.influences = {
      {"a/ptc/resistance_ohm", "thermistor resistance of a", 0.55, 0.02, 0.71, 0.03},
      {"ambient_C", "ambient", 0.2, 0.02, 0.28, 0.03},
      {"rod_force", "rod force", -0.01, 0.02, 0.02, 0.01},
  };
  result.as_it_is = chance(125, 1024);
  result.tightenings = {{"a/ptc/resistance_ohm", "thermistor resistance of a", chance(31, 1024)},
                        {"ambient_C", "ambient", chance(100, 1024)}};
  return result;
}

}  // namespace latchwright::tests
