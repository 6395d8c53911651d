// SPDX-License-Identifier: GPL-3.0-or-later
// What a study may take (docs/model.md section 9): said with door, time, budget and the figure to blame.
#include <catch2/catch.hpp>

#include "base/failure.h"
#include "sim/pulse.h"
#include "support/studies.h"

using namespace latchwright;
using Catch::Contains;

namespace {

/// A small thermistor behind 40 mH: it trips in the middle of the throw.
const tests::Changes restless = {{tests::worked_actuator + "/ptc/heat_J_per_K", "0.03"},
                                 {tests::worked_actuator + "/motor/inductance_mH", "40"}};

std::string said_of(const sim::Circuit& circuit, const sim::Budget& budget, int pulses = 1) {
  sim::PulseEngine engine(circuit, budget);
  std::vector<double> temperatures = sim::ambient_temperatures(circuit);
  try {
    for (int n = 0; n < pulses; ++n) engine.run(temperatures, 0, 0.7, n % 2 == 1, {});
  } catch (const base::StudyError& error) {
    return error.what();
  }
  return "";
}

}  // namespace

TEST_CASE("budget: a pulse over it names door and time and budget and figure", "[sim]") {
  const auto circuit = tests::worked_circuit({12.6, 23}, 1, restless);
  CHECK(said_of(circuit, {}) == "");
  const std::string said = said_of(circuit, {.pulse_steps = 100});
  CHECK_THAT(said, Contains("given up at t = ") && Contains("s of a pulse after 100 steps"));
  CHECK_THAT(said, Contains("the most that a pulse may take"));
  CHECK_THAT(said, Contains("door 1 most often keeps them short"));
  CHECK_THAT(said, Contains("heat_J_per_K 0.03"));
}

TEST_CASE("budget: pulses of one study add up", "[sim]") {
  const auto circuit = tests::worked_circuit({12.6, 23});
  CHECK(said_of(circuit, {.study_steps = 500}) == "");
  CHECK_THAT(said_of(circuit, {.study_steps = 500}, 100),
             Contains("after 500 steps, the most that a study may take"));
}

TEST_CASE("budget: a stretch at standstill has its own", "[sim]") {
  const auto circuit = tests::worked_circuit({12.6, 23});
  const std::string said = said_of(circuit, {.stand_steps = 3}, 20);
  CHECK_THAT(said, Contains("after 3 steps at standstill") && Contains("door 1 standing"));
}
