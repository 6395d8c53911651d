// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "bench/fit.h"
#include "bench/made_logs.h"

// Fits to logs of one bench: the same room, supply and like actuator.
namespace latchwright::tests {

constexpr double bench_ambient_C = 22, bench_V = 12.6;

inline bench::Fit fitted(const std::vector<model::BenchLog>& held,
                         const std::vector<model::BenchLog>& free = {}, model::HandReadings hand = {},
                         const char* id = "act-ordinary-2w") {
  base::NoProgress progress;
  hand.ambient_C = bench_ambient_C;
  const auto& like = catalogue_actuator(id);
  return bench::fit_actuator(like, catalogue_curve(like), held, free, hand, progress);
}

/// Throws where the fit has no such parameter.
inline const bench::FitParameter& parameter(const bench::Fit& fit, const std::string& name) {
  for (const auto& one : fit.parameters) {
    if (one.name == name) return one;
  }
  throw std::runtime_error("no parameter " + name);
}

}  // namespace latchwright::tests
