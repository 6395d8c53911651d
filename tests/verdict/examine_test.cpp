// SPDX-License-Identifier: GPL-3.0-or-later
#include <atomic>
#include <catch2/catch.hpp>
#include <cstring>

#include "base/failure.h"
#include "support/examples.h"
#include "support/verdict_jobs.h"
#include "support/worked_case.h"

// The whole examination: the same with any number of workers, the weakest is the worst, readings within their
// bands.
using namespace latchwright;
using verdict::CheckRow;
using verdict::Examination;
using verdict::Verdict;

namespace {

bool same_bits(const std::optional<double>& a, const std::optional<double>& b) {
  return a.has_value() == b.has_value() && (!a || std::memcmp(&*a, &*b, sizeof(double)) == 0);
}

void check_same(const verdict::Rows& a, const verdict::Rows& b) {
  REQUIRE(a.size() == b.size());
  for (std::size_t k = 0; k < a.size(); ++k) {
    CAPTURE(k, verdict::info_of(a[k].id).key, a[k].why);
    CHECK(a[k].id == b[k].id);
    CHECK(a[k].door == b[k].door);
    CHECK(a[k].part == b[k].part);
    CHECK(same_bits(a[k].margin, b[k].margin));
    CHECK(same_bits(a[k].have, b[k].have));
    CHECK(same_bits(a[k].need, b[k].need));
    CHECK(a[k].verdict == b[k].verdict);
    CHECK(a[k].at.has_value() == b[k].at.has_value());
    if (a[k].at && b[k].at) {
      CHECK(same_bits(a[k].at->voltage_V, b[k].at->voltage_V));
      CHECK(same_bits(a[k].at->ambient_C, b[k].at->ambient_C));
    }
    CHECK(a[k].unit == b[k].unit);
    CHECK(a[k].why == b[k].why);
    CHECK(a[k].band == b[k].band);
    CHECK((a[k].change == b[k].change));
    CHECK((a[k].cures == b[k].cures));
  }
}

Examination examine(const model::Study& study, unsigned workers = 1) {
  base::NoProgress quiet;
  return verdict::examine(study, workers, quiet);
}

/// Cancels at its n-th question.
class Impatient final : public base::Progress {
 public:
  explicit Impatient(int patience) : patience_(patience) {}
  void report(double fraction, std::string_view) override {
    if (fraction < 0 || fraction > 1) bad_fraction = true;
  }
  bool cancelled() const override { return asked_++ >= patience_; }
  std::atomic<bool> bad_fraction{false};
  int asked() const { return asked_; }

 private:
  int patience_;
  mutable std::atomic<int> asked_{0};
};

}  // namespace

TEST_CASE("examination: one and two workers give the same bits", "[verdict][examine][slow]") {
  for (const char* name : {"five-door-estate", "four-door-saloon"}) {
    CAPTURE(name);
    const auto study = tests::example_study(name);
    const Examination one = examine(study, 1), two = examine(study, 2);
    check_same(one.all, two.all);
    check_same(one.worst, two.worst);
    CHECK(one.weakest == two.weakest);
    CHECK(one.pass == two.pass);
    REQUIRE(one.prove.size() == two.prove.size());
    for (std::size_t k = 0; k < one.prove.size(); ++k) {
      CHECK(one.prove[k].reading == two.prove[k].reading);
      CHECK(same_bits(one.prove[k].value, two.prove[k].value));
      CHECK(same_bits(one.prove[k].low, two.prove[k].low));
      CHECK(same_bits(one.prove[k].high, two.prove[k].high));
    }
  }
}

TEST_CASE("examination: the weakest is the worst of all, pass is that nothing fails", "[verdict][examine]") {
  for (const std::string& json : {tests::plain_job_json(2), tests::worked_case_json()}) {
    const Examination found = examine(tests::study_of(json));
    bool any_fails = false;
    for (const CheckRow& row : found.all) {
      any_fails |= row.verdict == Verdict::fails;
      CHECK_FALSE(verdict::worse(row, found.worst[found.weakest]));
    }
    CHECK(found.pass == !any_fails);
    // Every subject of every corner stands once among the worst, with no better row than any of its own.
    for (const CheckRow& row : found.all) {
      int standing = 0;
      for (const CheckRow& kept : found.worst) {
        if (kept.id != row.id || kept.door != row.door || kept.part != row.part) continue;
        ++standing;
        CHECK_FALSE(verdict::worse(row, kept));
      }
      CHECK(standing == 1);
    }
  }
  // Both words: the worked case locks out; the plain job with a relay for two doors and no fault passes.
  CHECK_FALSE(examine(tests::study_of(tests::worked_case_json())).pass);
  const auto sound =
      examine(tests::study_of(tests::changed(tests::plain_job_json(), {{"/parts/6/rated_A", "20"}})));
  CAPTURE(sound.worst[sound.weakest].why);
  CHECK(sound.pass);
}

TEST_CASE("examination: the five-door example fails where its notes say", "[verdict][examine][slow]") {
  const Examination found = examine(tests::example_study("five-door-estate"));
  CHECK_FALSE(found.pass);
  for (const CheckRow& row : found.worst) {
    if (row.verdict != Verdict::fails) continue;
    CAPTURE(verdict::info_of(row.id).key);
    CHECK(row.change.has_value());
  }
}

TEST_CASE("examination: tells the verdicts before it looks for cures", "[verdict][examine][slow]") {
  const auto study = tests::example_study("five-door-estate");
  std::vector<Examination> told;
  base::NoProgress quiet;
  const Examination found =
      verdict::examine(study, 2, quiet, [&](const Examination& judged) { told.push_back(judged); });
  REQUIRE(told.size() == 1);
  CHECK(told[0].weakest == found.weakest);
  CHECK(told[0].pass == found.pass);
  CHECK(told[0].prove.size() == found.prove.size());
  REQUIRE(told[0].worst.size() == found.worst.size());
  for (std::size_t k = 0; k < found.worst.size(); ++k) {
    CHECK(told[0].worst[k].verdict == found.worst[k].verdict);
    CHECK(same_bits(told[0].worst[k].margin, found.worst[k].margin));
    CHECK(told[0].worst[k].cures.empty());
  }
}

TEST_CASE("examination: ends when asked to", "[verdict][examine][slow]") {
  const auto study = tests::example_study("five-door-estate");
  Impatient counting(1 << 30);
  verdict::examine(study, 1, counting);
  CHECK_FALSE(counting.bad_fraction);
  const int whole = counting.asked();
  REQUIRE(whole > 50);
  // At once, during the simulations, and while cures are sought.
  for (const int patience : {0, 5, whole - 2}) {
    for (const unsigned workers : {1u, 2u}) {
      CAPTURE(patience, workers);
      Impatient impatient(patience);
      CHECK_THROWS_AS(verdict::examine(study, workers, impatient), base::Cancelled);
    }
  }
}

TEST_CASE("readings to prove: values of the model, each within its band", "[verdict][prove]") {
  for (const auto& study : {tests::example_study("five-door-estate"), tests::worked_study()}) {
    const auto readings = verdict::readings_to_prove(study);
    REQUIRE(readings.size() == 3);
    for (const auto& reading : readings) {
      CAPTURE(reading.reading);
      REQUIRE(reading.value.has_value());
      REQUIRE(reading.low.has_value());
      CHECK(*reading.low < *reading.value);
      if (reading.high) CHECK(*reading.value < *reading.high);
    }
  }
  // docs/model.md section 10, 12.6 V and 23 °C: 4.94223 A at once, half of it after 5.55688 s.
  const auto worked = verdict::readings_to_prove(tests::worked_study());
  CHECK(*worked[0].value == Approx(4.94223).epsilon(2e-3));
  CHECK(*worked[1].value == Approx(5.55688).epsilon(2e-3));
  CHECK(worked[0].unit == "A");
  CHECK(worked[1].unit == "s");
  // All doors on the feed, but the second and third reading of one door alone.
  const auto three = verdict::readings_to_prove(tests::worked_study(3));
  CHECK(*three[0].value > 2.5 * 4.94223);
  CHECK(*three[0].value < 3 * 4.94223);
  CHECK(*three[1].value == Approx(5.55688).epsilon(2e-3));
}

TEST_CASE("readings to prove: nobody is told to hold what its thermistor does not protect",
          "[verdict][prove]") {
  // A plain resistor in the thermistor's place: its winding passes its class within 60 s.
  const std::string curve = tests::worked_actuator + "/ptc/curve";
  const auto bare = verdict::readings_to_prove(tests::worked_study(1, {{curve, tests::flat_curve}}));
  REQUIRE(bare.size() == 2);
  CHECK(bare[0].value.has_value());
  CHECK_FALSE(bare[1].value.has_value());
  CHECK(bare[1].unit.empty());
  CHECK(bare[1].reading.find("of no lock") != std::string::npos);
  // One that trips in time stays below even a low class: 40.43 degC in 600 s (docs/model.md section 10).
  const std::string limit = tests::worked_actuator + "/motor/winding_class_C";
  CHECK(verdict::readings_to_prove(tests::worked_study(1, {{limit, "60"}})).size() == 3);
}
