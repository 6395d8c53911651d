// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>

#include "base/text.h"
#include "report/check_report.h"
#include "report/pictures.h"
#include "sim/pulse.h"
#include "sim/rest.h"
#include "support/picture_search.h"
#include "support/verdict_jobs.h"
#include "support/words.h"
#include "support/worked_case.h"
#include "verdict/findings.h"

// Pictures over time: cycling, recovery, standstill; and the thermistor on its curve.
using namespace latchwright;
using tests::named;
using verdict::At;
using verdict::CheckId;

namespace {

struct Cycled {
  report::CycleReport report;
  std::vector<sim::TraceSample> samples;
};

Cycled cycle(const model::Study& study, const At& at, int cycles, double gap_s, bool on_through = false) {
  Cycled out;
  out.report.at = at;
  out.report.plan = {.cycles = cycles,
                     .on_s = study.job.pulse.on_s,
                     .gap_s = gap_s,
                     .on_through = on_through,
                     .want_recovery = true};
  for (std::size_t k = 0; k < study.doors.size(); ++k) {
    out.report.doors.push_back(study.job.doors[k].name);
    out.report.winding_class_C.push_back(study.actuator(k).motor.winding_class_C);
    out.report.two_forces.push_back(false);
  }
  out.report.invented_parts = report::uses_invented_parts(study);
  const auto circuit = sim::make_circuit(study, {.voltage_V = at.voltage_V, .ambient_C = at.ambient_C});
  sim::TraceObserver trace(circuit, study.job.pulse.on_s / report::samples_a_pulse);
  base::NoProgress quiet;
  out.report.result = sim::simulate_cycles(circuit, out.report.plan, {&trace}, quiet);
  out.samples = trace.samples();
  return out;
}

struct Held {
  report::StallReport report;
  std::vector<sim::TraceSample> samples;
};

Held hold(const model::Study& study, const At& at) {
  Held out;
  out.report.at = at;
  out.report.limit_s = 600;
  for (std::size_t k = 0; k < study.doors.size(); ++k) {
    out.report.doors.push_back(study.job.doors[k].name);
    out.report.winding_fault_C.push_back(physics::winding_fault_limit_C(study.actuator(k).motor));
  }
  const auto circuit = sim::make_circuit(study, {.voltage_V = at.voltage_V, .ambient_C = at.ambient_C});
  sim::TraceObserver trace(circuit, report::stall_spacing_s, report::stall_growth);
  base::NoProgress quiet;
  out.report.stalls = sim::simulate_stall(circuit, 600, {&trace}, quiet);
  out.samples = trace.samples();
  return out;
}

double highest(const std::vector<double>& values) { return *std::max_element(values.begin(), values.end()); }

}  // namespace

TEST_CASE("cycling: lines reach the peaks of the study, missed throws stand at their pulse", "[pictures]") {
  struct Job {
    const char* name;
    At at;
  };
  for (const Job& job : {Job{"five-door-estate", {12.6, 80}}, Job{"four-door-saloon", {14.4, 90}}}) {
    const auto study = tests::example_study(job.name);
    const auto made = cycle(study, job.at, 10, 1.0);
    REQUIRE(made.report.result.lockout);
    const auto warm = report::cycling_temperatures(made.report, made.samples);
    const auto amps = report::cycling_current(made.report, made.samples);
    const auto& plan = made.report.plan;
    const int number = made.report.result.lockout->throw_number;
    const double end_s = (number - 1) * (plan.on_s + plan.gap_s) + plan.on_s;
    for (std::size_t k = 0; k < study.doors.size(); ++k) {
      const std::string door = study.job.doors[k].name;
      CAPTURE(job.name, door);
      const auto& found = made.report.result.doors[k];
      const auto& winding = named(warm.lines, "winding, " + door);
      const auto& thermistor = named(warm.lines, "thermistor, " + door);
      CHECK(winding.hue == k);
      CHECK(highest(winding.y) == Approx(found.peak_winding_C).margin(0.1));
      CHECK(highest(winding.y) <= found.peak_winding_C + 1e-6);
      CHECK(highest(thermistor.y) == Approx(found.peak_ptc_C).margin(0.3));
      CHECK(thermistor.y.back() == Approx(found.final_C[physics::ptc]).margin(1e-9));
      CHECK(thermistor.x.back() == Approx(end_s));
      const auto& current = named(amps.lines, door);
      CHECK(highest(current.y) <= 1.001 * found.peak_current_A);
      CHECK(highest(current.y) > 0.9 * found.peak_current_A);
      // No current in the rests.
      for (std::size_t n = 0; n < current.x.size(); ++n) {
        const double into = std::fmod(current.x[n], plan.on_s + plan.gap_s);
        if (into > plan.on_s + 1e-6 && into < plan.on_s + plan.gap_s - 1e-6) CHECK(current.y[n] == 0);
      }
      for (int pulse = 1; pulse <= number; ++pulse) {
        const double off_s = (pulse - 1) * (plan.on_s + plan.gap_s) + plan.on_s;
        bool off = false;
        for (std::size_t n = 0; n < current.x.size(); ++n) {
          off = off || (std::abs(current.x[n] - off_s) < 1e-9 && current.y[n] == 0);
        }
        CHECK(off);
      }
      const auto& doors = made.report.result.lockout->doors;
      const bool missed = std::count(doors.begin(), doors.end(), k) > 0;
      CHECK(tests::any_named(warm.marks, "missed throw (" + door + ")") == missed);
      if (!missed) continue;
      const auto& mark = named(warm.marks, "missed throw (" + door + ")");
      CHECK(mark.shape == report::Shape::cross);
      CHECK(mark.x == std::vector<double>{end_s});
      CHECK(mark.y.front() == Approx(found.final_winding_C).margin(1e-9));
      CHECK(named(amps.marks, "missed throw (" + door + ")").x == mark.x);
    }
    const auto one = report::cycling_temperatures(made.report, made.samples, 1);
    CHECK(one.lines.size() == 2);
    CHECK(one.lines[0].hue == 1);
    CHECK(one.limits.size() == 1);
    CHECK(one.limits[0].value == made.report.winding_class_C[1]);
  }
}

TEST_CASE("cycling: a study that goes on marks every missed throw", "[pictures]") {
  const auto study = tests::worked_study();
  const auto made = cycle(study, {12.6, 23}, 10, 1.0, true);
  // docs/model.md section 10: lockout at throw 13.
  const auto& missed = made.report.result.doors[0].missed;
  REQUIRE(missed.size() > 1);
  CHECK(missed.front() == 13);
  const auto picture = report::cycling_current(made.report, made.samples);
  REQUIRE(picture.marks.size() == 1);
  REQUIRE(picture.marks[0].x.size() == missed.size());
  for (std::size_t n = 0; n < missed.size(); ++n) {
    CHECK(picture.marks[0].x[n] == Approx((missed[n] - 1) * 1.7 + 0.7));
  }
  // A report that names only the lockout marks that.
  auto bare = made.report;
  bare.result.doors[0].missed.clear();
  CHECK(report::cycling_current(bare, made.samples).marks.at(0).x.size() == 1);
}

TEST_CASE("cycling: no rest between the pulses", "[pictures]") {
  const auto made = cycle(tests::worked_study(), {12.6, 23}, 3, 0);
  const auto picture = report::cycling_current(made.report, made.samples);
  const auto& line = picture.lines.at(0);
  const auto pulses = static_cast<std::size_t>(made.report.result.pulses);
  std::size_t offs = 0;
  for (std::size_t n = 1; n < line.x.size(); ++n) offs += line.x[n] == line.x[n - 1] && line.y[n] == 0;
  CHECK(offs >= pulses);
}

TEST_CASE("throws of a cycling study: quickest and slowest", "[pictures][cycle]") {
  // The first throw is the quickest of a rod that takes the same both ways and only warms.
  const auto made = cycle(tests::worked_study(), {12.6, 23}, 6, 1.0);
  const auto& door = made.report.result.doors[0];
  CHECK(*door.quickest_throw_s == *door.first_throw_s);
  CHECK(*door.slowest_throw_s == *door.last_throw_s);
  // docs/model.md section 10.
  CHECK(*door.quickest_throw_s == Approx(0.101014).epsilon(2e-3));
  CHECK(door.missed.empty());
}

TEST_CASE("recovery: the moments of the study, cold as a meter says", "[pictures]") {
  const auto study = tests::worked_study();
  const auto made = cycle(study, {12.6, 23}, 10, 1.0);
  const auto picture = report::recovery(study, made.report, made.samples);
  REQUIRE(picture);
  const auto& found = *made.report.result.lockout->recovery;
  const auto& again = named(picture->limits, "one throw works again");
  const auto& cold = named(picture->limits, "as good as cold, to a meter");
  CHECK(again.value == *found.recovery_s);
  CHECK(cold.value == found.cooled_s);
  CHECK(again.upright);
  // docs/model.md section 10.
  CHECK(again.value == Approx(2.394).epsilon(5e-3));
  CHECK(cold.value == Approx(49.3).epsilon(5e-3));
  const auto& thermistor = picture->lines.at(1);
  CHECK(thermistor.y.front() == Approx(made.report.result.doors[0].final_C[physics::ptc]).margin(1e-9));
  // The line read at that moment: 10 % above the resistance at ambient.
  const physics::RatioCurve curve(study.doors[0].curve);
  CHECK(curve.ratio(tests::value_at(thermistor, cold.value)) / curve.ratio(23) == Approx(1.1).epsilon(2e-3));
  CHECK_FALSE(report::recovery(study, cycle(study, {12.6, 23}, 2, 1.0).report, made.samples));

  const auto estate = tests::example_study("five-door-estate");
  const auto hot = cycle(estate, {12.6, 80}, 10, 1.0);
  const auto rest = report::recovery(estate, hot.report, hot.samples);
  REQUIRE(rest);
  const auto& lockout = *hot.report.result.lockout;
  CHECK(rest->lines.size() == 2 * lockout.doors.size());
  CHECK(named(rest->limits, "one throw works again").value == *lockout.recovery->recovery_s);
  // After that rest the throw completes, by a pulse from temperatures that a rest of that length leaves.
  const auto circuit = sim::make_circuit(estate, {.voltage_V = 12.6, .ambient_C = 80});
  std::vector<double> T;
  for (const auto& door : hot.report.result.doors)
    T.insert(T.end(), door.final_C.begin(), door.final_C.end());
  const sim::Rest cooling(circuit);
  for (const double share : {0.95, 1.001}) {
    std::vector<double> later;
    cooling.after(T, share * *lockout.recovery->recovery_s, later);
    sim::PulseEngine engine(circuit);
    const auto arrivals = engine.run(later, 0, hot.report.plan.on_s, lockout.throw_number % 2 == 0, {});
    const bool all =
        std::all_of(arrivals.begin(), arrivals.end(), [](const auto& a) { return a.has_value(); });
    CHECK(all == (share > 1));
  }
}

TEST_CASE("standstill: trips of the study, half the current", "[pictures]") {
  struct Job {
    model::Study study;
    At at;
  };
  for (const Job& job : {Job{tests::example_study("five-door-estate"), {15, 80}},
                         Job{tests::example_study("four-door-saloon"), {12.6, 23}}}) {
    const auto held = hold(job.study, job.at);
    const auto warm = report::stall_temperatures(held.report, held.samples);
    const auto amps = report::stall_current(held.report, held.samples);
    REQUIRE(warm.marks.size() == job.study.doors.size());
    double sum = 0;
    for (std::size_t k = 0; k < job.study.doors.size(); ++k) {
      const auto& stall = held.report.stalls[k];
      const std::string door = job.study.job.doors[k].name;
      CAPTURE(door);
      CHECK(warm.marks[k].x.front() == *stall.trip_time_s);
      CHECK(amps.marks[k].x.front() == *stall.trip_time_s);
      CHECK(amps.marks[k].y.front() == 0.5 * stall.initial_current_A);
      const auto& current = named(amps.lines, door);
      // The line passes through its mark, begins at the first current and ends at the last.
      CHECK(tests::value_at(current, *stall.trip_time_s) == Approx(amps.marks[k].y.front()).epsilon(0.01));
      CHECK(current.y.front() == Approx(stall.initial_current_A).epsilon(5e-3));
      CHECK(current.y.back() == Approx(stall.final_current_A).epsilon(1e-9));
      CHECK(current.x.back() == Approx(600));
      CHECK(current.x.front() == 0.01);
      const auto& winding = named(warm.lines, "winding, " + door);
      CHECK(highest(winding.y) == Approx(stall.peak_winding_C).margin(0.5));
      // A study that ends at the trip ends at its mark.
      base::NoProgress quiet;
      const auto circuit =
          sim::make_circuit(job.study, {.voltage_V = job.at.voltage_V, .ambient_C = job.at.ambient_C});
      const auto until = sim::simulate_stall(circuit, *stall.trip_time_s, {}, quiet);
      CHECK(warm.marks[k].y.front() == Approx(until[k].final_C[physics::ptc]).margin(0.02));
      sum += stall.initial_current_A;
    }
    CHECK(named(amps.lines, "all doors together").y.front() == Approx(sum).epsilon(5e-3));
    for (const auto& limit : warm.limits) {
      CHECK(std::count(held.report.winding_fault_C.begin(), held.report.winding_fault_C.end(), limit.value) >
            0);
    }
    CHECK(report::stall_current(held.report, held.samples, 0).lines.size() == 1);
  }
  // docs/model.md section 10: 4.94223 A at once, half of it after 5.55688 s.
  const auto worked = hold(tests::worked_study(), {12.6, 23});
  const auto picture = report::stall_current(worked.report, worked.samples);
  CHECK(picture.marks.at(0).x.front() == Approx(5.55688).epsilon(2e-3));
  CHECK(picture.marks.at(0).y.front() == Approx(4.94223 / 2).epsilon(2e-3));
}

TEST_CASE("thermistor curve: the table, twice its smallest value, working points in ohms", "[pictures]") {
  const auto study = tests::worked_study();
  const auto picture = report::thermistor_curve(study, 0, {{"ambient", 23}, {"hottest", 118}});
  const auto& line = named(picture.lines, "ratio curve");
  const double T_C[] = {-40, 0, 25, 60, 80, 100, 110, 120, 125, 130, 140, 150};
  const double ratio[] = {0.8, 0.92, 1, 1.3, 1.7, 3, 6, 30, 200, 1000, 5000, 8000};
  for (int n = 0; n < 12; ++n) CHECK(tests::value_at(line, T_C[n]) == Approx(ratio[n]).epsilon(1e-9));
  const physics::RatioCurve curve(study.doors[0].curve);
  const auto& top = named(picture.limits, "switch point");
  CHECK(top.value == *curve.switch_T_C());
  // From 25 °C upward the smallest is 1.
  CHECK(tests::value_at(line, top.value) == Approx(2).epsilon(1e-3));
  const auto& hottest = named(picture.marks, "hottest");
  CHECK(hottest.y.front() == Approx(curve.ratio(118)));
  CHECK(hottest.labels.front() == base::significant(0.35 * curve.ratio(118)) + " Ω");
  CHECK(picture.up.logarithmic);
  for (const char* name : {"five-door-estate", "four-door-saloon"}) {
    const auto job = tests::example_study(name);
    for (std::size_t k = 0; k < job.doors.size(); ++k) {
      const physics::RatioCurve own(job.doors[k].curve);
      CHECK(named(report::thermistor_curve(job, k, {}).limits, "switch point").value == *own.switch_T_C());
    }
  }
  // Tripped before: more ohms, the same ratios. Beyond its table the last value holds, and the note says so.
  const auto tripped = tests::worked_study(1, {{tests::worked_actuator + "/ptc/after_trip_ratio", "1.5"}});
  const auto after = report::thermistor_curve(tripped, 0, {{"far", 170}}, true);
  CHECK(after.marks.at(0).y.front() == Approx(8000));
  CHECK(after.marks.at(0).labels.front() == "4200 Ω");
  CHECK(tests::holds(after.note, "a guess"));
}
