// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/look.h"

#include <atomic>
#include <catch2/catch.hpp>

#include "base/failure.h"
#include "base/text.h"
#include "report/look_sentence.h"
#include "support/picture_search.h"
#include "support/verdict_jobs.h"
#include "support/words.h"

using namespace latchwright;
using report::Link;
using report::LinkKind;
using report::LookAt;
using tests::named;

namespace {

report::Look look(const model::Study& study, const Link& link, const LookAt& at, unsigned workers = 2) {
  base::NoProgress quiet;
  return report::take_look(study, link, at, workers, quiet);
}

std::string sentence(const model::Study& study, const LookAt& at) {
  return look(study, {LinkKind::battery}, at).sentence;
}

std::vector<std::string> keys(const report::Look& look) {
  std::vector<std::string> all;
  for (const auto& picture : look.pictures) all.push_back(picture.key);
  return all;
}

/// Cancels at its n-th question.
class Impatient final : public base::Progress {
 public:
  explicit Impatient(int patience) : patience_(patience) {}
  void report(double fraction, std::string_view) override {
    if (!(fraction >= 0 && fraction <= 1)) bad_fraction = true;
  }
  bool cancelled() const override { return asked_++ >= patience_; }
  std::atomic<bool> bad_fraction{false};
  int asked() const { return asked_; }

 private:
  int patience_;
  mutable std::atomic<int> asked_{0};
};

}  // namespace

TEST_CASE("look: what it says", "[pictures][look]") {
  // docs/model.md section 10: throws from 0.101 s; 6 cycles, ready after 2.394 s at 12.6 V and 23 °C.
  const auto worked = tests::worked_study();
  const LookAt usual = report::usual_look(worked);
  CHECK(usual == LookAt{12.6, 23, 0.7, 1.0, 10, false});
  auto few = usual;
  few.cycles = 5;
  CHECK(sentence(worked, few).starts_with("5 of 5 cycles; throws take 0.10 to 0.1"));
  const std::string name = worked.job.doors[0].name;
  CHECK(sentence(worked, usual) ==
        "6 of 10 cycles, then " + name + " stops working until it cools: ready after 2.4 s");

  const auto plain = tests::study_of(tests::plain_job_json());
  auto at = report::usual_look(plain);
  at.cycles = 1;
  at.on_s = 0.02;
  CHECK(sentence(plain, at) ==
        "0 of 1 cycle: door 1 does not arrive within the 0.02 s pulse, not even from cold");
  // Friction takes 2 mN·m of 10 mN·m/A: below 0.2 A, 1.4 V, nothing turns.
  at = report::usual_look(plain);
  at.voltage_V = 1.3;
  CHECK(sentence(plain, at) == "nothing moves: no actuator moves its rod at this voltage");
  // 200 A through 20 + 5 + 10 mohm before the relay: 7 V.
  const auto drained =
      tests::study_of(tests::changed(tests::plain_job_json(), {{"/feed/other_load_A", "200"}}));
  at = report::usual_look(drained);
  at.voltage_V = 7;
  CHECK(sentence(drained, at).starts_with("nothing moves: nothing is left"));
  // Unlocking alone is too hard: 200 N are more than the 58 N it has.
  const auto hard = tests::study_of(tests::changed(
      tests::plain_job_json(2), {{"/doors/1/rod_force_unlock", R"({"shape": "steady", "peak_N": 200})"}}));
  CHECK(sentence(hard, report::usual_look(hard)) ==
        "0 of 10 cycles: door 2 does not arrive within the 0.5 s pulse when unlocking, not even from cold");
}

TEST_CASE("look: the sentence of a lockout in company", "[pictures][look]") {
  const auto study = tests::example_study("five-door-estate");
  auto at = report::usual_look(study);
  at.ambient_C = 80;
  const auto taken = look(study, {LinkKind::rod, 1}, at);
  CHECK_FALSE(taken.holds);
  const auto circuit = sim::make_circuit(study, {.voltage_V = at.voltage_V, .ambient_C = 80});
  base::NoProgress quiet;
  const auto result = sim::simulate_cycles(
      circuit, {.cycles = 10, .on_s = at.on_s, .gap_s = at.gap_s, .want_recovery = true}, {}, quiet);
  REQUIRE(result.lockout);
  CHECK(taken.sentence.starts_with(std::to_string(result.cycles_done) + " of 10 cycles, then "));
  for (const std::size_t k : result.lockout->doors) {
    CHECK(tests::holds(taken.sentence, study.job.doors[k].name));
  }
  CHECK(taken.sentence.ends_with("stop working until they cool: ready after " +
                                 base::wait_text(*result.lockout->recovery->recovery_s)));

  // Words of studies that are hard to come by.
  report::CycleReport report;
  report.plan = {.cycles = 10, .on_s = 0.7, .gap_s = 1};
  report.doors = {"front", "tail"};
  report.result.doors.resize(2);
  report.result.doors[0].first_throw_s = 0.1;
  report.result.lockout = sim::Lockout{9, {1}, sim::Recovery{}};
  report.result.cycles_done = 4;
  const auto pair = sim::make_circuit(tests::study_of(tests::plain_job_json(2)), {13, 25});
  CHECK(report::look_sentence(pair, report) ==
        "4 of 10 cycles, then tail stops working, and no rest brings it back");
  report.result.lockout->recovery->recovery_s = 0;
  CHECK(report::look_sentence(pair, report) ==
        "4 of 10 cycles, then tail stops working; tried again at once, one throw works");
  report.result.lockout->recovery.reset();
  report.result.lockout->doors = {0, 1};
  CHECK(report::look_sentence(pair, report) == "4 of 10 cycles, then all doors stop working until they cool");
}

TEST_CASE("look: which link shows which pictures, told once before them", "[pictures][look]") {
  const auto study = tests::example_study("five-door-estate");
  auto at = report::usual_look(study);
  at.ambient_C = 80;
  at.cycles = 7;
  const std::pair<Link, std::vector<std::string>> wanted[] = {
      {{LinkKind::battery}, {"voltage_along_the_run"}},
      {{LinkKind::main_fuse}, {"time_current"}},
      {{LinkKind::feed}, {"voltage_along_the_run", "wire_temperature"}},
      {{LinkKind::relay}, {"stall_current", "cycling_current"}},
      {{LinkKind::door_run, 4}, {"time_current", "wire_temperature", "voltage_along_the_run"}},
      {{LinkKind::thermistor, 2},
       {"thermistor_curve", "cycling_temperatures", "recovery", "lockout_over_ambient"}},
      {{LinkKind::motor, 2}, {"motor_curves", "cycling_temperatures", "stall_temperatures"}},
      {{LinkKind::rod, 3}, {"rod_force", "throw_in_time"}}};
  for (const auto& [link, pictures] : wanted) {
    int told = 0;
    base::NoProgress quiet;
    const auto taken = report::take_look(study, link, at, 2, quiet, [&](const report::Look& early) {
      ++told;
      CHECK(early.pictures.empty());
      CHECK(early.at == at);
      CHECK_FALSE(early.holds);
      CHECK(early.sentence.ends_with("until they cool"));
    });
    CHECK(told == 1);
    CHECK(keys(taken) == pictures);
    for (const auto& picture : taken.pictures) {
      CAPTURE(picture.key);
      CHECK_FALSE(picture.title.empty());
      CHECK((picture.lines.size() + picture.limits.size()) > 0);
      for (const auto& line : picture.lines) {
        CHECK(line.x.size() == line.y.size());
        CHECK_FALSE(line.x.empty());
      }
      CHECK(tests::holds(picture.note, "example parts: measure yours before promising this"));
      // Conditions say the ambient; the feed lies where it is 70 °C; counts span all ambients.
      const bool feed = link.kind == LinkKind::feed && picture.key == "wire_temperature";
      if (picture.key != "lockout_over_ambient") {
        CHECK(tests::holds(picture.condition, feed ? "12.6 V, 70 °C" : "12.6 V, 80 °C"));
      }
    }
  }
}

TEST_CASE("look: pictures show the look and not the job", "[pictures][look]") {
  const auto study = tests::example_study("five-door-estate");
  LookAt at{11.0, 40, 0.4, 2.0, 3, true};
  const auto motor = look(study, {LinkKind::motor, 1}, at, 1);
  const auto& cycling = motor.pictures.at(1);
  CHECK(cycling.condition == "11 V, 40 °C, thermistors have tripped before, pulse 0.4 s, rest 2 s");
  CHECK(cycling.lines.size() == 2);
  CHECK(cycling.lines[0].x.back() == Approx(6 * 2.4));
  CHECK(tests::any_named(motor.pictures.at(0).lines, "torque, after 3 cycles"));
  // Its own door at this condition, tripped before, by the engine.
  const auto circuit = sim::make_circuit(study, {.voltage_V = 11, .ambient_C = 40, .after_trip = true}, {1});
  CHECK(named(motor.pictures.at(0).lines, "current, fresh").y.front() ==
        Approx(sim::ambient_stall_currents(circuit)[0]).epsilon(1e-12));
  const auto thermistor = look(study, {LinkKind::thermistor, 1}, at, 1);
  const auto& hottest = named(thermistor.pictures.at(0).marks, "hottest in 3 cycles");
  base::NoProgress quiet;
  const auto all = sim::make_circuit(study, {.voltage_V = 11, .ambient_C = 40, .after_trip = true});
  const auto result = sim::simulate_cycles(all, {.cycles = 3, .on_s = 0.4, .gap_s = 2}, {}, quiet);
  CHECK(hottest.x.front() == result.doors[1].peak_ptc_C);
  const auto stall = sim::simulate_stall(all, 600, {}, quiet);
  CHECK(named(thermistor.pictures.at(0).marks, "rod held for 10 min").x.front() ==
        Approx(stall[1].final_C[physics::ptc]).epsilon(1e-9));
  // Rod held when it trips: the current is half there, so the whole path's resistance is doubled or more.
  const auto& trip = named(thermistor.pictures.at(0).marks, "rod held: when it trips");
  CHECK(trip.x.front() > hottest.x.front());
  // The same bits by one worker and by two.
  const auto again = look(study, {LinkKind::thermistor, 1}, at, 2);
  REQUIRE(again.pictures.size() == thermistor.pictures.size());
  for (std::size_t n = 0; n < again.pictures.size(); ++n) {
    REQUIRE(again.pictures[n].lines.size() == thermistor.pictures[n].lines.size());
    for (std::size_t k = 0; k < again.pictures[n].lines.size(); ++k) {
      CHECK(again.pictures[n].lines[k].y == thermistor.pictures[n].lines[k].y);
    }
  }
}

TEST_CASE("look: ends when asked to", "[pictures][look]") {
  const auto study = tests::example_study("four-door-saloon");
  const auto at = report::usual_look(study);
  for (const Link& link :
       {Link{LinkKind::thermistor, 0}, Link{LinkKind::door_run, 1}, Link{LinkKind::motor, 2}}) {
    Impatient counting(1 << 30);
    report::take_look(study, link, at, 1, counting);
    CHECK_FALSE(counting.bad_fraction);
    const int whole = counting.asked();
    REQUIRE(whole > 20);
    for (const int patience : {0, 10, whole / 2, whole - 1}) {
      Impatient impatient(patience);
      CHECK_THROWS_AS(report::take_look(study, link, at, 2, impatient), base::Cancelled);
    }
  }
}
