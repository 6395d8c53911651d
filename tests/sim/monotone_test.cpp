// SPDX-License-Identifier: GPL-3.0-or-later
// Which way a figure moves when one thing about a job changes, on jobs drawn at random: physics knows the
// direction without knowing the figure.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <functional>
#include <optional>

#include "reference/compare/random_study.h"
#include "sim/pulse.h"
#include "sim/rest.h"
#include "sim/stall.h"

using namespace latchwright;
using tests::Draw;
using tests::StudyCase;

namespace {

constexpr std::uint64_t seed = 31;
constexpr std::size_t most_doors = 5;

/// The job behind a drawn study, checked again after a change.
model::Study changed(const StudyCase& drawn, const std::function<void(model::Job&)>& change) {
  model::Job job = drawn.study.job;
  change(job);
  auto study = model::check_job(job, drawn.name, model::Catalogue());
  REQUIRE(study.ok());
  return std::move(study.value());
}

model::Part& part_of(model::Job& job, const std::string& id) {
  const auto place =
      std::find_if(job.parts.begin(), job.parts.end(), [&](const auto& part) { return part.id == id; });
  REQUIRE(place != job.parts.end());
  return *place;
}

/// The next drawn study of one to five doors.
StudyCase next_study(std::size_t& index) {
  for (;;) {
    StudyCase study = tests::random_study(seed, index++);
    if (!study.doors.empty()) study.doors = {study.doors.front()};
    if (study.doors.empty() && study.study.job.doors.size() > most_doors) continue;
    return study;
  }
}

bool rises_above_25(const sim::Circuit& circuit) {
  return std::all_of(circuit.doors.begin(), circuit.doors.end(), [](const sim::DoorCircuit& door) {
    const auto& x = door.ptc.curve->curve().points_x();
    double before = door.ptc.curve->ratio(25);
    for (const double T : x) {
      if (T <= 25) continue;
      if (door.ptc.curve->ratio(T) < before) return false;
      before = door.ptc.curve->ratio(T);
    }
    return true;
  });
}

/// Whole cycles before the first missed throw, and the latest arrival of all throws before it.
struct Cycling {
  int cycles = 0;
  double latest_arrival_s = 0;
};

Cycling cycle(const sim::Circuit& circuit, const sim::CyclePlan& plan) {
  sim::PulseEngine engine(circuit);
  const sim::Rest rest(circuit);
  auto T = sim::ambient_temperatures(circuit);
  Cycling out;
  for (int pulse = 1; pulse <= 2 * plan.cycles; ++pulse) {
    double latest = 0;
    for (const auto& arrival : engine.run(T, 0, plan.on_s, pulse % 2 == 0, {})) {
      if (!arrival) return out;
      latest = std::max(latest, *arrival);
    }
    out.latest_arrival_s = std::max(out.latest_arrival_s, latest);
    out.cycles = pulse / 2;
    rest.after(std::vector<double>(T), plan.gap_s, T);
  }
  return out;
}

sim::CyclePlan draw_plan(Draw& draw) {
  sim::CyclePlan plan;
  plan.cycles = 40;
  plan.on_s = draw.around(0.15, 1.5);
  plan.gap_s = draw.around(0.2, 3);
  return plan;
}

}  // namespace

TEST_CASE("monotone: hotter air above 25 degC never gives more cycles", "[sim][monotone][slow]") {
  // Above 25 degC heat raises the resistance of copper and of a thermistor whose curve nowhere falls, and it
  // weakens magnets of negative drift, so every throw begins with less current and less force, from a
  // thermistor that is nearer to its trip. Grease and cold rods play no part there. Magnets that grew
  // stronger with heat would reverse it, so a positive drift is set to 0.
  constexpr int wanted = 80;
  int studies = 0, fewer = 0;
  for (std::size_t index = 0; studies < wanted;) {
    const StudyCase drawn = next_study(index);
    Draw draw(index);
    const auto study = changed(drawn, [](model::Job& job) {
      for (auto& part : job.parts) {
        if (auto* actuator = std::get_if<model::Actuator>(&part.body)) {
          actuator->motor.magnet_drift_per_K = std::min(0.0, actuator->motor.magnet_drift_per_K);
        }
      }
    });
    sim::Condition at = drawn.at;
    at.voltage_V = std::max(11.0, at.voltage_V);
    at.ambient_C = draw.between(25, 75);
    const auto cooler = sim::make_circuit(study, at, drawn.doors);
    if (!rises_above_25(cooler)) continue;
    const auto plan = draw_plan(draw);
    const auto have = cycle(cooler, plan);
    if (have.cycles == 0) continue;
    at.ambient_C += draw.around(0.5, 20);
    const auto hotter = cycle(sim::make_circuit(study, at, drawn.doors), plan);
    ++studies;
    fewer += hotter.cycles < have.cycles;
    INFO(drawn.name << ", " << cooler.doors.size() << " doors, pulse " << plan.on_s << " s, gap "
                    << plan.gap_s << " s, " << at.voltage_V << " V, " << cooler.at.ambient_C << " and "
                    << at.ambient_C << " degC");
    CHECK(hotter.cycles <= have.cycles);
  }
  CHECK(fewer > wanted / 8);  // else the draw did not ask
}

TEST_CASE("monotone: a shorter pulse that still ends every throw never gives fewer cycles",
          "[sim][monotone][slow]") {
  // Past the last arrival a pulse only heats stalled motors: what it leaves out is copper and thermistor
  // heat, and the next throw begins cooler, after the same gap. A thermistor that has tripped lets the copper
  // cool again within the pulse, but is itself the hotter for it, and it decides.
  constexpr int wanted = 80;
  int studies = 0, limited = 0, more = 0;
  for (std::size_t index = 1000; studies < wanted;) {
    const StudyCase drawn = next_study(index);
    Draw draw(index);
    sim::Condition at = drawn.at;
    at.voltage_V = std::max(11.0, at.voltage_V);
    const auto circuit = sim::make_circuit(drawn.study, at, drawn.doors);
    auto plan = draw_plan(draw);
    const auto have = cycle(circuit, plan);
    const double shortest = have.latest_arrival_s * (1 + 1e-4);
    if (have.cycles == 0 || shortest >= plan.on_s) continue;
    const double longer_s = plan.on_s;
    plan.on_s = shortest + (longer_s - shortest) * draw.between(0, 0.9);
    const auto shorter = cycle(circuit, plan);
    ++studies;
    limited += have.cycles < plan.cycles;
    more += shorter.cycles > have.cycles;
    INFO(drawn.name << ", " << circuit.doors.size() << " doors, pulses " << longer_s << " and " << plan.on_s
                    << " s, gap " << plan.gap_s << " s, " << at.voltage_V << " V, " << at.ambient_C
                    << " degC");
    CHECK(shorter.cycles >= have.cycles);
  }
  CHECK(limited > wanted / 4);
  CHECK(more > wanted / 8);
}

TEST_CASE("monotone: a thicker wire never weakens a lone stalled door", "[sim][monotone]") {
  // With one door the current is (V less brush drop) over the sum of resistances: less copper resistance,
  // more current, more torque. Another load's drop in the feed shrinks too.
  constexpr int wanted = 60;
  int studies = 0, stronger = 0;
  for (std::size_t index = 2000; studies < wanted;) {
    StudyCase drawn = next_study(index);
    drawn.doors = {0};
    Draw draw(index);
    const bool feed = draw.chance(0.5);
    const double thicker = draw.around(1.05, 4);
    const auto study = changed(drawn, [&](model::Job& job) {
      auto& wire = std::get<model::Wire>(part_of(job, feed ? *job.feed.wire : *job.doors[0].wire).body);
      wire.area *= thicker;
      wire.ohm_per_m /= thicker;
      wire.outside *= std::sqrt(thicker);
    });
    const auto force = [&](const model::Study& of) {
      const auto circuit = sim::make_circuit(of, drawn.at, drawn.doors);
      base::NoProgress quiet;
      const double current = sim::simulate_stall(circuit, 0.1, {}, quiet)[0].initial_current_A;
      const auto& door = circuit.doors[0];
      // docs/model.md section 8, check force.
      const double torque =
          door.motor.torque_constant(drawn.at.ambient_C) * current - door.motor.friction(drawn.at.ambient_C);
      return std::pair(current, door.efficiency * torque / door.rod_per_rad);
    };
    const auto [thin_A, thin_N] = force(drawn.study);
    const auto [thick_A, thick_N] = force(study);
    ++studies;
    INFO(drawn.name << ", " << (feed ? "feed" : "branch") << " thicker by " << thicker << ": " << thin_A
                    << " and " << thick_A << " A");
    CHECK(thick_N >= thin_N);
    // Where current flows at all the force really grows.
    if (thin_A > 0) {
      CHECK(thick_A > thin_A);
      ++stronger;
    }
  }
  CHECK(stronger > wanted / 2);
}

TEST_CASE("monotone: a thermistor of larger heat capacity never trips earlier", "[sim][monotone][slow]") {
  // The same losses warm a larger pill more slowly, so at every moment before the trip its resistance is
  // behind the smaller one's; that it lets more current through in the meantime follows from being behind and
  // cannot carry it past.
  constexpr int wanted = 80;
  int studies = 0, both_trip = 0;
  for (std::size_t index = 3000; studies < wanted;) {
    const StudyCase drawn = next_study(index);
    Draw draw(index);
    const auto circuit = sim::make_circuit(drawn.study, drawn.at, drawn.doors);
    const std::size_t door = draw.below(circuit.doors.size());  // of the circuit
    const std::size_t of_job = drawn.doors.empty() ? door : drawn.doors[door];
    const double larger = draw.around(1.02, 3);
    const auto study = changed(drawn, [&](model::Job& job) {
      // An actuator of its own, so that the neighbours stay as they are.
      model::Part part = part_of(job, *job.doors[of_job].actuator);
      part.id = "larger-pill";
      std::get<model::Actuator>(part.body).ptc.heat_J_per_K *= larger;
      job.doors[of_job].actuator = part.id;
      job.parts.push_back(part);
    });
    base::NoProgress quiet;
    const double limit_s = 300;
    const auto trip = [&](const sim::Circuit& c) {
      return sim::simulate_stall(c, limit_s, {}, quiet)[door].trip_time_s;
    };
    const auto small = trip(circuit), large = trip(sim::make_circuit(study, drawn.at, drawn.doors));
    ++studies;
    both_trip += small && large;
    INFO(drawn.name << ", door " << door + 1 << " of " << circuit.doors.size() << ", capacity times "
                    << larger << ": " << small.value_or(-1) << " and " << large.value_or(-1) << " s");
    if (large) {
      CHECK(small.has_value());
      CHECK(small.value_or(1e300) <= *large);
    }
  }
  CHECK(both_trip > wanted / 2);
}
