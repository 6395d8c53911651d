// SPDX-License-Identifier: GPL-3.0-or-later
// What an engine keeps from pulse to pulse is work space: no figure may show that it was used before.
#include <catch2/catch.hpp>
#include <cmath>

#include "reference/compare/random_study.h"
#include "sim/pulse.h"
#include "sim/rest.h"

using namespace latchwright;
using tests::Draw;

TEST_CASE("pulse: an engine used before gives what a fresh one gives", "[sim][slow]") {
  constexpr std::uint64_t seed = 31;
  constexpr int wanted = 300, pulses = 20;
  constexpr std::size_t most_doors = 5;
  int studies = 0, arrivals = 0;
  for (std::size_t index = 0; studies < wanted; ++index) {
    const auto study = tests::random_study(seed, index);
    const auto circuit = sim::make_circuit(study.study, study.at, study.doors);
    if (circuit.doors.size() > most_doors) continue;
    ++studies;
    Draw draw(index);
    const double on_s = draw.around(0.15, 1.5), gap_s = draw.around(0.2, 3);
    sim::PulseEngine used(circuit);
    const sim::Rest rest(circuit);
    auto T = sim::ambient_temperatures(circuit);
    for (int pulse = 1; pulse <= pulses; ++pulse) {
      INFO(study.name << ", " << circuit.doors.size() << " doors, pulse " << pulse << " of " << on_s
                      << " s, gap " << gap_s << " s");
      const bool unlocking = pulse % 2 == 0;
      auto T_fresh = T;
      sim::PulseEngine fresh(circuit);
      const auto want = fresh.run(T_fresh, 0, on_s, unlocking, {});
      const auto have = used.run(T, 0, on_s, unlocking, {});
      for (std::size_t k = 0; k < have.size(); ++k) {
        INFO("door " << k + 1);
        // docs/model.md section 9; an arrival in the pulse's last 0.2 % may be either.
        const bool at_the_end = have[k].value_or(want[k].value_or(0)) > 0.998 * on_s;
        if (!at_the_end) CHECK(have[k].has_value() == want[k].has_value());
        if (have[k] && want[k]) {
          CHECK(*have[k] == Approx(*want[k]).epsilon(2e-3));
          ++arrivals;
        }
        for (std::size_t n = 0; n < physics::heat_nodes; ++n) {
          // An absent core counts for nothing.
          if (circuit.doors[k].heat.capacity(static_cast<physics::HeatNode>(n)) <= 0) continue;
          const std::size_t node = k * physics::heat_nodes + n;
          REQUIRE(T[node] == Approx(T_fresh[node]).epsilon(0).margin(0.1));
        }
      }
      rest.after(std::vector<double>(T), gap_s, T);
    }
  }
  CHECK(arrivals > 1000);
}
