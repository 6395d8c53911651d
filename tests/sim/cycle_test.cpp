// SPDX-License-Identifier: GPL-3.0-or-later
// Cycle studies, docs/model.md sections 3 and 5: counting, recovery, and the motion's special cases.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "base/failure.h"
#include "sim/cycle.h"
#include "sim/rest.h"
#include "sim/stall.h"
#include "support/ideal.h"

using namespace latchwright;
using tests::Changes;
using tests::worked_circuit;

namespace {

const char* const heavy = R"({"shape": "steady", "peak_N": 150})";
const char* const helping = R"({"shape": "table", "x_mm": [0, 18], "N": [-120, -120]})";

sim::CyclePlan plan_of(int cycles, double on_s = 0.7, double gap_s = 1) {
  sim::CyclePlan plan;
  plan.cycles = cycles;
  plan.on_s = on_s;
  plan.gap_s = gap_s;
  plan.want_recovery = true;
  return plan;
}

sim::CycleResult cycled(const sim::Circuit& circuit, const sim::CyclePlan& plan) {
  base::NoProgress progress;
  auto result = sim::simulate_cycles(circuit, plan, {}, progress);
  CHECK(sim::count_cycles(circuit, plan) == result.cycles_done);
  return result;
}

/// Temperatures of all doors at the end of the last simulated pulse.
std::vector<double> end_of(const sim::CycleResult& result) {
  std::vector<double> all;
  for (const auto& door : result.doors) all.insert(all.end(), door.final_C.begin(), door.final_C.end());
  return all;
}

bool completes(const sim::Circuit& circuit, std::vector<double> temperatures, double on_s, bool unlocking) {
  sim::PulseEngine engine(circuit);
  const auto& arrivals = engine.run(temperatures, 0, on_s, unlocking, {});
  return std::all_of(arrivals.begin(), arrivals.end(), [](const auto& a) { return a.has_value(); });
}

}  // namespace

TEST_CASE("cycle: a lockout is numbered by throws, cycles by whole pairs", "[sim][cycle]") {
  const auto locking = cycled(worked_circuit({12.6, 23}, 2, {{"/doors/1/rod_force", heavy}}), plan_of(4));
  REQUIRE(locking.lockout.has_value());
  CHECK(locking.lockout->throw_number == 1);
  CHECK(locking.lockout->doors == std::vector<std::size_t>{1});
  CHECK(locking.cycles_done == 0);
  CHECK(locking.pulses == 1);
  CHECK(locking.doors[0].first_throw_s.has_value());
  CHECK_FALSE(locking.doors[1].first_throw_s.has_value());
  CHECK_FALSE(locking.doors[1].last_throw_s.has_value());

  // Locks but never unlocks: the second throw, still no whole cycle.
  const auto unlocking =
      cycled(worked_circuit({12.6, 23}, 1, {{"/doors/0/rod_force_unlock", heavy}}), plan_of(4));
  REQUIRE(unlocking.lockout.has_value());
  CHECK(unlocking.lockout->throw_number == 2);
  CHECK(unlocking.cycles_done == 0);
  CHECK(unlocking.doors[0].first_throw_s == unlocking.doors[0].last_throw_s);

  const auto none = cycled(worked_circuit({12.6, 23}), plan_of(3));
  CHECK_FALSE(none.lockout.has_value());
  CHECK(none.cycles_done == 3);
  CHECK(none.pulses == 6);
}

TEST_CASE("cycle: going on through a lockout", "[sim][cycle]") {
  const auto circuit = worked_circuit({12.6, 23});
  auto plan = plan_of(10);
  const auto stopped = cycled(circuit, plan);
  plan.on_through = true;
  const auto through = cycled(circuit, plan);
  REQUIRE(stopped.lockout.has_value());
  REQUIRE(through.lockout.has_value());
  CHECK(through.lockout->throw_number == stopped.lockout->throw_number);
  CHECK(through.cycles_done == stopped.cycles_done);
  CHECK(stopped.pulses == stopped.lockout->throw_number);
  CHECK(through.pulses == 20);
  CHECK(*through.lockout->recovery->recovery_s == *stopped.lockout->recovery->recovery_s);
  CHECK(through.doors[0].peak_winding_C >= stopped.doors[0].peak_winding_C);
  CHECK(through.doors[0].final_C[physics::housing] > stopped.doors[0].final_C[physics::housing]);
  CHECK(through.doors[0].first_throw_s == stopped.doors[0].first_throw_s);
}

TEST_CASE("cycle: no recovery where the throw fails from ambient too", "[sim][cycle]") {
  const auto result = cycled(worked_circuit({12.6, 23}, 1, {{"/doors/0/rod_force", heavy}}), plan_of(2));
  REQUIRE(result.lockout.has_value());
  REQUIRE(result.lockout->recovery.has_value());
  CHECK_FALSE(result.lockout->recovery->recovery_s.has_value());
}

TEST_CASE("cycle: recovery and cooling against a fine grid", "[sim][cycle]") {
  for (const double ambient : {0.0, 40.0}) {
    CAPTURE(ambient);
    const auto circuit = worked_circuit({13.2, ambient}, 2, {{"/doors/1/rod_force/peak_N", "25"}});
    const auto plan = plan_of(20, 0.8, 0.6);
    const auto result = cycled(circuit, plan);
    REQUIRE(result.lockout.has_value());
    REQUIRE(result.lockout->recovery.has_value());
    const bool unlocking = result.lockout->throw_number % 2 == 0;
    const auto end = end_of(result);
    const sim::Rest rest(circuit);
    std::vector<double> rested;

    constexpr double grid = 4e-3;  // s
    double first = 0;
    for (;; first += grid) {
      REQUIRE(first < 60);
      rest.after(end, first, rested);
      if (completes(circuit, rested, plan.on_s, unlocking)) break;
    }
    REQUIRE(result.lockout->recovery->recovery_s.has_value());
    const double recovery = *result.lockout->recovery->recovery_s;
    CHECK(recovery <= first + 2e-3);
    CHECK(recovery >= first - grid - 2e-3);
    CHECK(recovery > 0.1);

    double last_off = -1;
    for (double t = 0; t < 600; t += 0.01) {
      rest.after(end, t, rested);
      for (std::size_t k = 0; k < circuit.doors.size(); ++k) {
        const auto& ptc = circuit.doors[k].ptc;
        const double now = ptc.resistance(rested[k * physics::heat_nodes + physics::ptc]).value;
        if (std::fabs(now / ptc.resistance(ambient).value - 1) > 0.1) last_off = t;
      }
    }
    CHECK(result.lockout->recovery->cooled_s == Approx(last_off).margin(0.011));
  }
}

TEST_CASE("cycle: arrival at the pulse's end", "[sim][cycle]") {
  for (const int doors : {1, 3}) {
    const auto circuit = worked_circuit({12.6, 23}, doors);
    const auto arrival = sim::single_throw(circuit, 0.7, false)[0];
    REQUIRE(arrival.has_value());
    const auto just = sim::single_throw(circuit, *arrival + 1e-6, false);
    REQUIRE(just[0].has_value());
    CHECK(*just[0] == Approx(*arrival).margin(2e-7));
    CHECK_FALSE(sim::single_throw(circuit, *arrival - 1e-6, false)[0].has_value());
    const auto result = cycled(circuit, plan_of(1, *arrival - 1e-6));
    REQUIRE(result.lockout.has_value());
    CHECK(result.lockout->throw_number == 1);
  }
}

TEST_CASE("cycle: a held door starts once another has given up its current", "[sim][cycle]") {
  // Behind 0.9 ohm the stalled first door leaves the second too little, until its thermistor trips.
  auto circuit = worked_circuit({12.6, 23}, 2, {{"/supply/internal_mohm", "900"}});
  tests::load_steadily(circuit.doors[0], 1);  // beyond any motor: held for ever
  circuit.doors[1].ptc.curve = tests::curve_of({-40, 25, 100, 200}, {1, 1, 1, 1});
  const auto torque_at = [&](double current) {
    return circuit.doors[1].motor.torque_constant(23) * current - circuit.doors[1].motor.friction(23);
  };
  const double together = sim::ambient_stall_currents(circuit)[1];
  auto lone = circuit;
  lone.doors.erase(lone.doors.begin());
  const double alone = sim::ambient_stall_currents(lone)[0];
  auto& second = circuit.doors[1];
  model::RodForce force;
  force.peak = 0.5 * (torque_at(together) + torque_at(alone)) * second.efficiency / second.rod_per_rad;
  second.lock_load = physics::RodLoad(force, second.stroke, 23, -20);
  second.takeup_rad = 0;
  REQUIRE(alone > 1.2 * together);
  REQUIRE_FALSE(sim::single_throw(circuit, 1, false)[1].has_value());
  CHECK(tests::after_pulse(circuit, 1).angle(1) == 0);
  base::NoProgress progress;
  const auto trip = sim::simulate_stall(circuit, 60, {}, progress)[0].trip_time_s;
  REQUIRE(trip.has_value());
  const auto arrivals = sim::single_throw(circuit, 3 * *trip, false);
  CHECK_FALSE(arrivals[0].has_value());
  REQUIRE(arrivals[1].has_value());
  CHECK(*arrivals[1] > 0.5 * *trip);
  CHECK(*arrivals[1] < 1.5 * *trip);
}

TEST_CASE("cycle: back-EMF blocks the current under a helping load", "[sim][cycle]") {
  struct Watcher final : sim::Observer {
    double lowest = 0, blocked_from = -1, blocked_to = -1, speed_from = 0, speed_to = 0;
    void segment(const sim::Segment& s) override {
      sim::State x;
      for (const double share : {0.0, 0.5, 1.0}) {
        s.at(s.begin() + share * (s.end() - s.begin()), x);
        lowest = std::min(lowest, x[sim::slot_current]);
      }
      if (!s.driven() || s.modes()[0].conducting || s.modes()[0].motion != sim::Motion::moving) return;
      if (s.modes()[0].arrived) return;
      if (blocked_from < 0) {
        blocked_from = s.begin();
        s.at(s.begin(), x);
        speed_from = x[sim::slot_speed];
      }
      blocked_to = s.end();
      s.at(s.end(), x);
      speed_to = x[sim::slot_speed];
    }
  } watcher;
  auto circuit = worked_circuit({6, 23}, 1, {{"/doors/0/rod_force", helping}});
  auto& door = circuit.doors[0];
  door.efficiency = 0.9;
  door.motor.viscous = 0;
  const auto arrival = sim::single_throw(circuit, 0.4, false, {&watcher});
  REQUIRE(arrival[0].has_value());
  CHECK(watcher.lowest > -1e-6);
  REQUIRE(watcher.blocked_from > 0);
  REQUIRE(watcher.blocked_to > watcher.blocked_from + 1e-3);
  CHECK(watcher.speed_from >= 0.99 * (6 - door.motor.brush_drop) / door.motor.torque_constant(23));
  // Without current the load alone drives: J w' = |F| s eta - tau_f.
  const double pull = (120 * door.rod_per_rad * 0.9 - door.motor.friction(23)) / door.motor.inertia;
  CHECK(watcher.speed_to - watcher.speed_from ==
        Approx(pull * (watcher.blocked_to - watcher.blocked_from)).epsilon(1e-3));
}

TEST_CASE("cycle: without take-up the load acts from the start", "[sim][cycle]") {
  const Changes none = {{tests::worked_actuator + "/drive/takeup_turns", "0"}};
  Changes none_heavy = none;
  none_heavy.push_back({"/doors/0/rod_force", heavy});
  // Beyond the motor: stands from the first moment, where a take-up would let it turn so far.
  CHECK(tests::after_pulse(worked_circuit({12.6, 23}, 1, none_heavy), 0.3).angle() == 0);
  const auto with = worked_circuit({12.6, 23}, 1, {{"/doors/0/rod_force", heavy}});
  CHECK(tests::after_pulse(with, 0.3).angle() >= with.doors[0].takeup_rad);
  // With nothing to move there is a turn less to make.
  const Changes idle = {{"/doors/0/rod_force/peak_N", "0"}};
  Changes none_idle = none;
  none_idle.push_back(idle[0]);
  const auto arrival = sim::single_throw(worked_circuit({12.6, 23}, 1, none_idle), 0.7, false)[0];
  REQUIRE(arrival.has_value());
  CHECK(*arrival < *sim::single_throw(worked_circuit({12.6, 23}, 1, idle), 0.7, false)[0]);
}

TEST_CASE("cycle: twelve equal doors are one on twelve times the shared resistance", "[sim][cycle]") {
  const auto circuit = worked_circuit({13.8, 23}, 12, {{"/doors/0/name", "\"first\""}});
  auto one = worked_circuit({13.8, 23});
  one.shared_ohm *= 12;
  auto plan = plan_of(8, 0.7, 0.8);
  const auto many = cycled(circuit, plan);
  const auto single = cycled(one, plan);
  CHECK(many.cycles_done == single.cycles_done);
  REQUIRE(many.lockout.has_value() == single.lockout.has_value());
  if (many.lockout) {
    CHECK(many.lockout->throw_number == single.lockout->throw_number);
    CHECK(many.lockout->doors.size() == 12);
    CHECK(*many.lockout->recovery->recovery_s == Approx(*single.lockout->recovery->recovery_s).epsilon(1e-3));
  }
  REQUIRE(many.doors.size() == 12);
  for (const auto& door : many.doors) {
    CHECK(*door.first_throw_s == Approx(*single.doors[0].first_throw_s).epsilon(1e-5));
    CHECK(*door.last_throw_s == Approx(*single.doors[0].last_throw_s).epsilon(2e-4));
    CHECK(door.peak_winding_C == Approx(single.doors[0].peak_winding_C).margin(0.005));
  }
}

TEST_CASE("cycle: a study can be cancelled", "[sim][cycle]") {
  struct Impatient final : base::Progress {
    int reports = 0;
    void report(double fraction, std::string_view) override {
      CHECK(fraction > 0);
      CHECK(fraction <= 1);
      ++reports;
    }
    bool cancelled() const override { return reports >= 3; }
  } impatient;
  const auto circuit = worked_circuit({12.6, 23});
  CHECK_THROWS_AS(sim::simulate_cycles(circuit, plan_of(6), {}, impatient), base::Cancelled);
  CHECK(impatient.reports == 3);
  impatient.reports = 0;
  CHECK_THROWS_AS(sim::simulate_stall(circuit, 600, {}, impatient), base::Cancelled);
  CHECK(impatient.reports == 3);
}
