// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <string>

#include "base/progress.h"
#include "bench/next_reading.h"
#include "bench/triage.h"
#include "support/catalogue.h"

// Actuators of the catalogue on the bench, for the tests of triage.
namespace latchwright::tests {

struct BenchActuator {
  model::Catalogue catalogue;
  model::Actuator actuator;
  model::PtcCurve curve;
};

inline BenchActuator bench_actuator(const std::string& id) {
  const auto& actuator = std::get<model::Actuator>(catalogue().find(id)->body);
  return {catalogue(), actuator, model::curve_of(actuator, catalogue())};
}

inline bench::Triage triage_of(const BenchActuator& part, const bench::Readings& readings) {
  base::NoProgress quiet;
  return bench::triage(part.actuator, part.curve, readings, quiet);
}

inline double chance_of(const bench::Triage& triage, bench::State state) {
  for (const auto& row : triage.states) {
    if (row.state == state) return row.likelihood;
  }
  throw std::runtime_error("a state is missing");
}

/// What triage stands on, by itself.
struct Insides {
  base::NoProgress quiet;
  double nominal_V;
  std::vector<bench::Member> members;
  bench::WaitingActuator waiting;
  bench::Likelihoods likelihoods;
  bench::PerState prior;

  explicit Insides(const BenchActuator& part, const bench::Readings& readings = {})
      : nominal_V(bench::nominal_voltage(part.actuator)),
        members(bench::make_members(part.actuator, part.curve, readings, nominal_V)),
        waiting(members, readings.on_s, readings.gap_s, quiet),
        likelihoods(members, waiting, nominal_V),
        prior(bench::priors(part.actuator.wires)) {}
  Insides(const Insides&) = delete;
  Insides& operator=(const Insides&) = delete;
};

}  // namespace latchwright::tests
