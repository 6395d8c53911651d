// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>

#include "sim/cycle.h"
#include "sim/pulse.h"
#include "sim/rest.h"
#include "sim/stall.h"
#include "support/studies.h"

using namespace latchwright;

namespace {

/// One column of docs/model.md section 10, which was computed by an independent program.
struct Column {
  double voltage_V, ambient_C;
  double initial_A, trip_s, peak_winding_C, final_A, throw_s, ptc_after_pulse_C;
  int cycles_done, lockout_throw;
  double recovery_s, cooled_s;
};

const Column columns[] = {
    {12.6, 23, 4.94223, 5.55688, 40.4255, 0.185828, 0.101014, 31.6037, 6, 13, 2.394, 49.3},
    {13.8, 75, 4.34545, 1.85080, 80.2608, 0.0855691, 0.104962, 86.1907, 2, 5, 6.660, 59.5},
};

// Accuracies of docs/model.md section 9.
constexpr double relative = 2e-3;  // currents, times of trip and throw
constexpr double kelvin = 0.1;
double rest_margin(double seconds) { return std::max(0.01 * seconds, 0.02); }

}  // namespace

TEST_CASE("worked case: stall", "[sim][worked]") {
  for (const Column& want : columns) {
    CAPTURE(want.voltage_V, want.ambient_C);
    const auto circuit = tests::worked_circuit({want.voltage_V, want.ambient_C});
    base::NoProgress progress;
    const auto stall = sim::simulate_stall(circuit, 600, {}, progress);
    REQUIRE(stall.size() == 1);
    CHECK(stall[0].initial_current_A == Approx(want.initial_A).epsilon(relative));
    REQUIRE(stall[0].trip_time_s.has_value());
    CHECK(*stall[0].trip_time_s == Approx(want.trip_s).epsilon(relative));
    CHECK(stall[0].limited_by == sim::LimitedBy::thermistor);
    CHECK(stall[0].peak_winding_C == Approx(want.peak_winding_C).margin(kelvin));
    CHECK(stall[0].final_current_A == Approx(want.final_A).epsilon(relative));
    CHECK(sim::ambient_stall_currents(circuit)[0] == Approx(want.initial_A).epsilon(relative));
  }
}

TEST_CASE("worked case: first throw", "[sim][worked]") {
  for (const Column& want : columns) {
    CAPTURE(want.voltage_V, want.ambient_C);
    const auto circuit = tests::worked_circuit({want.voltage_V, want.ambient_C});
    sim::PulseEngine engine(circuit);
    auto temperatures = sim::ambient_temperatures(circuit);
    const auto arrivals = engine.run(temperatures, 0, 0.7, false, {});
    REQUIRE(arrivals[0].has_value());
    CHECK(*arrivals[0] == Approx(want.throw_s).epsilon(relative));
    CHECK(temperatures[physics::ptc] == Approx(want.ptc_after_pulse_C).margin(kelvin));
    CHECK(*sim::single_throw(circuit, 0.7, false)[0] == *arrivals[0]);
  }
}

TEST_CASE("worked case: cycles, lockout, recovery", "[sim][worked]") {
  for (const Column& want : columns) {
    CAPTURE(want.voltage_V, want.ambient_C);
    const auto circuit = tests::worked_circuit({want.voltage_V, want.ambient_C});
    sim::CyclePlan plan;
    plan.cycles = 10;
    plan.on_s = 0.7;
    plan.gap_s = 1;
    plan.want_recovery = true;
    base::NoProgress progress;
    const auto result = sim::simulate_cycles(circuit, plan, {}, progress);
    CHECK(result.cycles_done == want.cycles_done);
    CHECK(sim::count_cycles(circuit, plan) == want.cycles_done);
    REQUIRE(result.lockout.has_value());
    CHECK(result.lockout->throw_number == want.lockout_throw);
    CHECK(result.lockout->doors == std::vector<std::size_t>{0});
    CHECK(result.pulses == want.lockout_throw);
    REQUIRE(result.lockout->recovery.has_value());
    REQUIRE(result.lockout->recovery->recovery_s.has_value());
    CHECK(*result.lockout->recovery->recovery_s ==
          Approx(want.recovery_s).margin(rest_margin(want.recovery_s)));
    CHECK(result.lockout->recovery->cooled_s == Approx(want.cooled_s).margin(rest_margin(want.cooled_s)));
    CHECK(*result.doors[0].first_throw_s == Approx(want.throw_s).epsilon(relative));
  }
}
