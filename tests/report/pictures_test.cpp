// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/pictures.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "base/failure.h"
#include "base/text.h"
#include "report/check_report.h"
#include "report/picture_tools.h"
#include "sim/door_rates.h"
#include "support/hand_wire.h"
#include "support/picture_search.h"
#include "support/verdict_jobs.h"
#include "support/words.h"
#include "verdict/checks.h"
#include "verdict/findings.h"

// Pictures of forces, voltages, wires, motors, fuses and margins: each against the checks that say the same,
// and against sums by hand. The plain job's figures are those at the head of support/verdict_jobs.h.
using namespace latchwright;
using tests::named;
using verdict::At;
using verdict::CheckId;

namespace {

const char* const examples[] = {"five-door-estate", "four-door-saloon"};

/// The rows of one check of a study.
verdict::Rows rows_of(const model::Study& study, CheckId id) {
  base::NoProgress quiet;
  return verdict::evaluate(id, verdict::Findings(study, quiet));
}

}  // namespace

TEST_CASE("rod force: have and need of the check at every corner", "[pictures]") {
  for (const char* name : examples) {
    const auto study = tests::example_study(name);
    for (const auto& row : rows_of(study, CheckId::force)) {
      CAPTURE(name, *row.door, row.at->voltage_V, row.at->ambient_C);
      const auto picture = report::rod_force(study, *row.door, *row.at);
      CHECK(named(picture.limits, "actuator has, fresh").value == Approx(*row.have).epsilon(1e-12));
      bool wanted = false;
      for (const auto& limit : picture.limits) {
        if (!limit.name.starts_with("wanted")) continue;
        wanted = true;
        CHECK(limit.value == Approx(*row.need).epsilon(1e-12));
      }
      CHECK(wanted);
    }
  }
}

TEST_CASE("rod force: loads as the job writes them", "[pictures]") {
  const auto study = tests::example_study("five-door-estate");
  // The tailgate's table: 12, 32, 26, -4 N at 0, 4, 12, 20 mm; a fifth more at the coldest.
  const auto warm = report::rod_force(study, 4, {12.6, 23});
  const auto cold = report::rod_force(study, 4, {12.6, -20});
  const auto& lock = named(warm.lines, "rod takes, locking");
  const auto& cold_lock = named(cold.lines, "rod takes, locking");
  const double x_mm[] = {0, 4, 12, 20}, N[] = {12, 32, 26, -4};
  for (int n = 0; n < 4; ++n) {
    CHECK(tests::value_at(lock, x_mm[n]) == Approx(N[n]).margin(1e-9));
    CHECK(tests::value_at(cold_lock, x_mm[n]) == Approx(1.2 * N[n]).margin(1e-9));
    CHECK(std::count_if(lock.x.begin(), lock.x.end(),
                        [&](double x) { return std::abs(x - x_mm[n]) < 1e-9; }) == 1);
  }
  CHECK(tests::value_at(named(warm.lines, "rod takes, unlocking"), 7) == Approx(26));
  // Rear left, over-centre: 8 N at both ends and the middle, 20 N at a quarter of 18 mm, -4 N at three.
  const auto rear = report::rod_force(study, 2, {12.6, 23});
  const auto& over = named(rear.lines, "rod takes");
  CHECK(tests::value_at(over, 0) == Approx(8));
  CHECK(tests::value_at(over, 4.5) == Approx(20));
  CHECK(tests::value_at(over, 9) == Approx(8));
  CHECK(tests::value_at(over, 13.5) == Approx(-4));
  CHECK(warm.note.ends_with("example parts: measure yours before promising this"));
}

TEST_CASE("rod force: the plain job by hand, fresh and warmed", "[pictures]") {
  const auto study = tests::study_of(tests::plain_job_json());
  // 6 A at 10 mN·m/A less 2 mN·m, 1000 N per N·m.
  physics::Temperatures T;
  T.fill(25);
  T[physics::winding] = 125;
  const auto picture = report::rod_force(study, 0, {13, 25}, report::Warmed{"after 10 cycles", {T}});
  CHECK(named(picture.limits, "actuator has, fresh").value == Approx(58).epsilon(1e-9));
  const double amps = 12 / (1.95 + tests::plain_winding_ohm(125));
  CHECK(named(picture.limits, "actuator has, after 10 cycles").value ==
        Approx(1000 * (0.010 * amps - 0.002)).epsilon(1e-9));
  // A case 50 K warmer: magnets 10 % weaker.
  T[physics::winding] = 25;
  T[physics::motor_case] = 75;
  const auto weak = report::rod_force(study, 0, {13, 25}, report::Warmed{"then", {T}});
  CHECK(named(weak.limits, "actuator has, then").value == Approx(1000 * (0.009 * 6 - 0.002)).epsilon(1e-9));
}

TEST_CASE("throw in time: arrives when the check says", "[pictures]") {
  for (const char* name : examples) {
    const auto study = tests::example_study(name);
    for (const auto& row : rows_of(study, CheckId::throw_time)) {
      CAPTURE(name, *row.door, row.at->voltage_V, row.at->ambient_C);
      const auto picture = report::throw_in_time(study, *row.door, *row.at, study.job.pulse.on_s);
      double latest = 0;
      for (const auto& mark : picture.marks) latest = std::max(latest, mark.x.front());
      if (row.margin > 0) {
        CHECK(latest == *row.need);
        CHECK_FALSE(tests::any_named(picture.marks, report::missed_name(study.job.doors[*row.door].name)));
      }
      // The line passes its mark: the rod is at the stroke when it arrives.
      const auto& travel = picture.lines.front();
      CHECK(travel.y.front() == 0);
      const double step_mm = 0.05 * study.job.doors[*row.door].stroke * 1e3;
      if (row.margin > 0) {
        CHECK(tests::value_at(travel, picture.marks.front().x.front()) ==
              Approx(picture.marks.front().y.front()).margin(step_mm));
      }
    }
  }
  // Too short a pulse for any rod.
  const auto study = tests::study_of(tests::plain_job_json());
  const auto missed = report::throw_in_time(study, 0, {13, 25}, 0.02);
  REQUIRE(missed.marks.size() == 1);
  CHECK(missed.marks[0].name == "missed throw (door 1)");
  CHECK(missed.marks[0].shape == report::Shape::cross);
}

TEST_CASE("motor curves: straight lines by hand", "[pictures]") {
  // Plain job, 13 V, 25 °C, K = 10 mN·m/A = V·s/rad, R = 2 ohm: 12 V drive 6 A and 60 - 2 mN·m at rest. The
  // torque is gone where K i = 2 mN·m: 0.2 A, 12 V - 0.4 V = K w, 1160 rad/s.
  const auto study = tests::study_of(tests::plain_job_json());
  const auto picture = report::motor_curves(study, 0, {13, 25});
  const auto& torque = named(picture.lines, "torque, fresh");
  const auto& current = named(picture.lines, "current, fresh");
  CHECK(torque.y.front() == Approx(58).epsilon(1e-9));
  CHECK(current.y.front() == Approx(6).epsilon(1e-9));
  CHECK(current.right);
  CHECK(torque.x.back() == Approx(1160 * 60 / (2 * 3.14159265358979)).epsilon(1e-9));
  CHECK(torque.y.back() == Approx(0).margin(1e-9));
  CHECK(current.y.back() == Approx(0.2).epsilon(1e-9));
  // 20 N by 0.5 mm a radian, half of it lost: 20 mN·m.
  CHECK(named(picture.limits, "the rod's largest force asks for").value == Approx(20).epsilon(1e-9));
}

TEST_CASE("motor curves: at rest the stall current of the lone door", "[pictures]") {
  for (const char* name : examples) {
    const auto study = tests::example_study(name);
    for (std::size_t k = 0; k < study.doors.size(); ++k) {
      const auto alone = sim::make_circuit(study, {.voltage_V = 12.6, .ambient_C = 60}, {k});
      const auto picture = report::motor_curves(study, k, {12.6, 60});
      const double amps = sim::ambient_stall_currents(alone)[0];
      CHECK(named(picture.lines, "current, fresh").y.front() == Approx(amps).epsilon(1e-12));
      const auto& motor = study.actuator(k).motor;
      const double K = motor.torque_constant * (1 + motor.magnet_drift_per_K * 35);
      CHECK(named(picture.lines, "torque, fresh").y.front() ==
            Approx(1e3 * (K * amps - motor.friction)).epsilon(1e-12));
      // With viscous drag the torque still ends at 0, where K i is all friction and drag.
      const double w = named(picture.lines, "torque, fresh").x.back() * 2 * 3.14159265358979 / 60;
      CHECK(K * named(picture.lines, "current, fresh").y.back() ==
            Approx(motor.friction + motor.viscous * w).epsilon(1e-9));
    }
  }
}

TEST_CASE("voltage along the run: the check's loss, and step by step by hand", "[pictures]") {
  for (const char* name : examples) {
    const auto study = tests::example_study(name);
    base::NoProgress quiet;
    const verdict::Findings findings(study, quiet);
    const auto rows = verdict::evaluate(CheckId::volt_drop, findings);
    for (const auto& row : rows) {
      CAPTURE(name, *row.door, row.at->voltage_V, row.at->ambient_C);
      const auto picture = report::voltage_along_the_run(study, *row.door, *row.at);
      const auto& held = named(picture.lines, "held at standstill");
      CHECK(held.x.size() == picture.across.words.size());
      CHECK(100 * held.y.back() / row.at->voltage_V == Approx(*row.need).epsilon(1e-9));
      const std::string running =
          base::significant(100 * named(picture.lines, "while the rod runs").y.back() / row.at->voltage_V);
      CHECK(tests::holds(row.why, running + " % while the rod runs"));
      CHECK(picture.limits.front().value == Approx(*row.have / 100 * row.at->voltage_V));
      // No door at this corner loses more than the one that is called the worst.
      const auto worst = report::worst_drop_door(study, *row.at);
      for (const auto& other : rows) {
        if (other.door == worst && other.at->voltage_V == row.at->voltage_V &&
            other.at->ambient_C == row.at->ambient_C) {
          CHECK(*other.need >= *row.need);
        }
      }
    }
  }
  // Plain job at 6 A: fuse 5, contacts 2 x 2.5, joints 10, ground 10 mohm; the battery's 20 do not count.
  const auto picture = report::voltage_along_the_run(tests::study_of(tests::plain_job_json()), 0, {13, 25});
  const std::vector<std::string> words{"battery", "main fuse", "feed", "relay", "door run", "ground point"};
  CHECK(picture.across.words == words);
  const double lost_V[] = {0, 0.03, 0.03, 0.06, 0.12, 0.18};
  const auto& held = named(picture.lines, "held at standstill");
  for (std::size_t n = 0; n < words.size(); ++n) CHECK(held.y[n] == Approx(lost_V[n]).margin(1e-12));
  CHECK(named(picture.marks, "held at standstill").labels.back() == "0.180 V, 1.38 %");
}

TEST_CASE("wire temperature: ends where the check does", "[pictures]") {
  base::NoProgress quiet;
  for (const char* name : examples) {
    const auto study = tests::example_study(name);
    for (const auto& row : rows_of(study, CheckId::wire_heat)) {
      CAPTURE(name, row.part, row.door.value_or(99));
      const auto picture = report::wire_temperature(study, row.door, *row.at, quiet);
      REQUIRE(picture.marks.size() == 1);
      CHECK(picture.marks[0].y.front() == Approx(row.at->ambient_C + *row.need).epsilon(1e-9));
      CHECK(named(picture.limits, "wire's class").value == Approx(row.at->ambient_C + *row.have));
      REQUIRE(picture.lines.size() == 2);
      const auto& counted = picture.lines[0];
      const auto& real = picture.lines[1];
      CHECK(counted.x.back() == picture.marks[0].x.front());
      CHECK(std::is_sorted(counted.y.begin(), counted.y.end()));
      // With the current falling the wire stays a little cooler, and starts alike.
      const double end = counted.x.back();
      CHECK(tests::value_at(real, 0.99 * end) <= counted.y.back());
      CHECK(tests::value_at(real, 0.02 * end) ==
            Approx(tests::value_at(counted, 0.02 * end)).margin(0.02 * *row.need + 1e-3));
      CHECK(*std::max_element(real.y.begin(), real.y.end()) <= counted.y.back());
    }
  }
}

TEST_CASE("wire temperature: by a second way of computing", "[pictures]") {
  // Plain job with 2 m of 1 mm² and a thermistor that never trips: the same current for ten minutes, by the
  // slow wire of support/hand_wire.h.
  const auto study =
      tests::study_of(tests::changed(tests::plain_job_json(), {{"/doors/0/branch_length_m", "2"}}));
  base::NoProgress quiet;
  const auto picture = report::wire_temperature(study, 0, {15, 65}, quiet);
  REQUIRE(picture.lines.size() == 1);
  const auto circuit = sim::make_circuit(study, {.voltage_V = 15, .ambient_C = 65});
  const double amps = sim::ambient_stall_currents(circuit)[0];
  const tests::HandWire wire{1e-6, 0.020, 2.1e-3};
  CHECK(picture.lines[0].x.back() == 600);
  CHECK(picture.lines[0].y.back() - 65 == Approx(wire.after(amps, 65, 600) - 65).epsilon(1e-4));
  const double sixth = picture.lines[0].x[40];
  CHECK(picture.lines[0].y[40] - 65 == Approx(wire.after(amps, 65, sixth) - 65).epsilon(1e-4));
}

TEST_CASE("time-current: the traced lines and only what hangs on the fuse", "[pictures]") {
  base::NoProgress quiet;
  const auto study = tests::example_study("five-door-estate");
  const auto curves = verdict::trace_time_current(study, {12.6, 23}, 2, quiet);
  const auto whole = report::time_current(curves);
  REQUIRE(whole.bands.size() == 2);
  CHECK(whole.bands[0].lower_y == curves.fuses[0].quickest.time_s);
  CHECK(whole.bands[0].upper_x == curves.fuses[0].slowest.current_A);
  std::size_t series = 0;
  for (const auto& wire : curves.wires) series += wire.lines.size();
  for (const auto& trip : curves.trips) series += trip.lines.size();
  CHECK(whole.lines.size() == series);

  // The tailgate has no fuse of its own.
  const std::size_t main = report::fuse_index(curves, std::nullopt);
  CHECK(report::fuse_index(curves, 4) == main);
  const auto of_main = report::time_current(curves, main);
  REQUIRE(of_main.bands.size() == 1);
  CHECK(of_main.bands[0].name == "main fuse 30 A");
  for (const auto& line : of_main.lines) {
    CAPTURE(line.name);
    CHECK((line.name.starts_with("feed") || tests::holds(line.name, "tailgate")));
  }
  CHECK(of_main.lines.size() == 6);
  CHECK(tests::any_named(of_main.lines, "thermistor of tailgate, at 80 °C"));
  CHECK(tests::holds(of_main.note, "unprotected"));
  const std::size_t own = report::fuse_index(curves, 2);
  CHECK(own != main);
  const auto of_own = report::time_current(curves, own);
  CHECK(of_own.bands[0].name == "fuse 7.5 A of front left, front right, rear left, rear right");
  for (const auto& line : of_own.lines) {
    CHECK_FALSE(tests::holds(line.name, "tailgate"));
    CHECK_FALSE(line.name.starts_with("feed"));
  }
  // Marked currents are those of the checks: the short at the end of the tailgate's run.
  const verdict::Findings findings(study, quiet);
  CHECK(named(of_main.limits, "door run of tailgate: bolted short at its end").value ==
        findings.bolted_short_A(4));
}

TEST_CASE("lockout over ambient: counts as the check does", "[pictures]") {
  base::NoProgress quiet;
  for (const char* name : examples) {
    const auto study = tests::example_study(name);
    const verdict::Findings findings(study, quiet);
    for (const bool charging : {false, true}) {
      const double volts = charging ? study.job.supply.charge_V : study.job.supply.usual_V;
      const auto picture = report::lockout_over_ambient(study, volts, study.job.pulse.on_s,
                                                        {study.job.use.gap_s, 5}, 12, 2, quiet);
      REQUIRE(picture.lines.size() == 2);
      for (std::size_t a = 0; a < verdict::levels; ++a) {
        CAPTURE(name, volts, findings.ambient(a));
        const auto& x = picture.lines[0].x;
        const auto at = std::find(x.begin(), x.end(), findings.ambient(a));
        REQUIRE(at != x.end());
        CHECK(picture.lines[0].y[static_cast<std::size_t>(at - x.begin())] ==
              std::min(12, findings.lockout(a, charging).cycles_done));
      }
      CHECK(picture.lines[0].x.back() == study.job.climate.hot_C + 20);
      CHECK(picture.marks[0].y == picture.lines[0].y);
      // A longer rest never does worse here.
      for (std::size_t n = 0; n < picture.lines[0].y.size(); ++n) {
        CHECK(picture.lines[1].y[n] >= picture.lines[0].y[n]);
      }
    }
  }
}

TEST_CASE("lockout over ambient: any number of workers, ends when asked to", "[pictures]") {
  base::NoProgress quiet;
  const auto study = tests::example_study("four-door-saloon");
  const auto one = report::lockout_over_ambient(study, 12.6, 0.5, {1}, 6, 1, quiet);
  const auto two = report::lockout_over_ambient(study, 12.6, 0.5, {1}, 6, 2, quiet);
  CHECK(one.lines[0].y == two.lines[0].y);
  class Cancelling final : public base::Progress {
   public:
    void report(double, std::string_view) override {}
    bool cancelled() const override { return true; }
  } cancelling;
  CHECK_THROWS_AS(report::lockout_over_ambient(study, 12.6, 0.5, {1}, 6, 1, cancelling), base::Cancelled);
  CHECK_THROWS_AS(report::wire_temperature(study, 0, {12.6, 23}, cancelling), base::Cancelled);
}

TEST_CASE("margins: every worst row on its check's line with its verdict's shape", "[pictures]") {
  base::NoProgress quiet;
  const auto study = tests::example_study("five-door-estate");
  const verdict::Findings findings(study, quiet, verdict::Detail::brief);
  auto worst = verdict::worst_rows(verdict::evaluate_all(findings));
  verdict::CheckRow none;  // a wire that nothing hurts, and a throw that never ends
  none.id = CheckId::fuse_guard;
  none.door = 0;
  worst.push_back(none);
  verdict::CheckRow never = none;
  never.id = CheckId::throw_time;
  never.margin = 0;
  never.verdict = verdict::Verdict::fails;
  worst.push_back(never);
  const auto picture = report::margins(study, worst);
  CHECK(picture.up.words.size() == 14);
  std::size_t drawn = 0;
  for (const auto& marks : picture.marks) drawn += marks.x.size();
  CHECK(drawn == worst.size());
  const std::pair<verdict::Verdict, report::Shape> shapes[] = {
      {verdict::Verdict::holds, report::Shape::circle},
      {verdict::Verdict::tight, report::Shape::triangle},
      {verdict::Verdict::fails, report::Shape::cross}};
  for (const auto& row : worst) {
    const auto& marks = named(picture.marks, std::string(verdict::word_of(row.verdict)));
    CHECK(marks.shape == shapes[static_cast<std::size_t>(row.verdict)].second);
    const double x = std::clamp(row.margin.value_or(1e9), 0.1, 100.0);
    bool found = false;
    for (std::size_t n = 0; n < marks.x.size(); ++n) {
      found = found || (marks.x[n] == x && picture.up.words[static_cast<std::size_t>(marks.y[n])] ==
                                               verdict::info_of(row.id).title);
    }
    CAPTURE(verdict::info_of(row.id).key, x);
    CHECK(found);
  }
  const auto& one = named(picture.limits, "just enough");
  CHECK(one.value == 1);
  CHECK(one.upright);
}
