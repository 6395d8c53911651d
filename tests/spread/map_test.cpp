// SPDX-License-Identifier: GPL-3.0-or-later
#include "spread/map.h"

#include <algorithm>
#include <atomic>
#include <catch2/catch.hpp>
#include <cmath>
#include <mutex>

#include "base/failure.h"
#include "reference/compare/random_study.h"
#include "sim/lockout.h"
#include "spread/boundary.h"
#include "support/picture_search.h"
#include "support/studies.h"

// A map against direct counts, which have tests of their own (tests/sim, tests/reference), and against what
// physics knows of directions.
using namespace latchwright;
using spread::LockoutMap;
using spread::MapAxis;
using spread::MapPlan;

namespace {

int direct_count(const model::Study& study, const MapPlan& plan, double ambient_C, double value_s, int most) {
  base::NoProgress quiet;
  const bool over_gap = plan.over == MapAxis::gap;
  return sim::count_worst(study, {.voltage_V = plan.voltage_V, .ambient_C = ambient_C, .after_trip = true},
                          {.cycles = most,
                           .on_s = over_gap ? plan.on_s : value_s,
                           .gap_s = over_gap ? value_s : plan.gap_s},
                          quiet)
      .cycles_done;
}

LockoutMap map_of(const model::Study& study, const MapPlan& plan, unsigned workers = 2) {
  base::NoProgress quiet;
  return spread::make_map(study, plan, workers, quiet);
}

/// Of the worked case of docs/model.md section 10; quick to count under the sanitizers too.
MapPlan quick_plan(const model::Study& study, MapAxis over) {
  auto plan = spread::usual_map(study, over);
  plan.cycles = 3;
  plan.ambient_from_C = 60;
  plan.ambient_to_C = 100;
  return plan;
}

bool contains(const std::vector<double>& values, double wanted) {
  return std::any_of(values.begin(), values.end(),
                     [&](double value) { return std::abs(value - wanted) < 1e-9; });
}

void check_boundary(const model::Study& study, const LockoutMap& map) {
  const auto& plan = map.plan;
  const auto passes = [&](double ambient, double value) {
    return direct_count(study, plan, ambient, value, plan.cycles) == plan.cycles;
  };
  const double beyond = plan.over == MapAxis::gap ? -0.02 : 0.02;
  for (const auto& point : map.boundary) {
    CAPTURE(point.ambient_C, point.value_s);
    CHECK(contains(map.ambient_C, point.ambient_C));
    CHECK(passes(point.ambient_C, point.value_s));
    CHECK_FALSE(passes(point.ambient_C, point.value_s + beyond));
  }
  // Where there is none, the end of the map says why.
  for (std::size_t k = 0; k < map.ambient_C.size(); ++k) {
    const bool has_point = std::any_of(map.boundary.begin(), map.boundary.end(), [&](const auto& point) {
      return point.ambient_C == map.ambient_C[k];
    });
    if (has_point) continue;
    const auto& row = map.cycles_done[k];
    const auto does = [&](int cycles) { return cycles >= plan.cycles; };
    CAPTURE(map.ambient_C[k]);
    if (plan.over == MapAxis::gap)
      CHECK((row.back() < plan.cycles || std::all_of(row.begin(), row.end(), does)));
    if (plan.over == MapAxis::on)
      CHECK((row.back() >= plan.cycles || std::none_of(row.begin(), row.end(), does)));
  }
}

}  // namespace

TEST_CASE("map: every count is the direct one and the boundary passes by a hair", "[spread][map]") {
  const auto study = tests::worked_study(1);
  for (const MapAxis over : {MapAxis::gap, MapAxis::on}) {
    const auto map = map_of(study, quick_plan(study, over));
    CAPTURE(over == MapAxis::gap ? "gap" : "on");
    CHECK(map.most == 4 * map.plan.cycles);
    REQUIRE(map.cycles_done.size() == map.ambient_C.size());
    for (std::size_t k = 0; k < map.ambient_C.size(); ++k) {
      REQUIRE(map.cycles_done[k].size() == map.values_s.size());
      for (std::size_t j = 0; j < map.values_s.size(); ++j) {
        CAPTURE(map.ambient_C[k], map.values_s[j]);
        CHECK(map.cycles_done[k][j] ==
              direct_count(study, map.plan, map.ambient_C[k], map.values_s[j], map.most));
      }
    }
    CHECK(map.boundary.size() > 2);
    check_boundary(study, map);
  }
}

TEST_CASE("map: lines are even at first and closer where the count jumps", "[spread][map]") {
  const auto study = tests::worked_study(1);
  const auto plan = quick_plan(study, MapAxis::gap);
  const auto map = map_of(study, plan);
  for (const auto* lines : {&map.ambient_C, &map.values_s}) {
    CHECK(std::is_sorted(lines->begin(), lines->end()));
    CHECK(std::adjacent_find(lines->begin(), lines->end()) == lines->end());
  }
  CHECK(map.ambient_C.size() <= spread::most_ambients);
  CHECK(map.values_s.size() <= spread::most_values);
  for (const double T : {60, 70, 80, 90, 100}) CHECK(contains(map.ambient_C, T));
  CHECK(map.values_s.front() == 0);
  CHECK(map.values_s.back() == 10);
  CHECK(contains(map.values_s, study.job.use.gap_s));
  // Whole hundredths of a second, which a person can set.
  for (const double value : map.values_s) CHECK(std::abs(value * 100 - std::round(value * 100)) < 1e-9);
  // While there is room for more lines none is left out where a count jumps.
  if (map.ambient_C.size() < spread::most_ambients) {
    for (std::size_t k = 0; k + 1 < map.ambient_C.size(); ++k) {
      if (map.ambient_C[k + 1] - map.ambient_C[k] < 2 * spread::least_ambient_step_K) continue;
      for (std::size_t j = 0; j < map.values_s.size(); ++j) {
        CHECK(std::abs(map.cycles_done[k + 1][j] - map.cycles_done[k][j]) <= 1);
      }
    }
  }
  const auto narrow = [](const std::vector<double>& lines) {
    double least = 1e9, most = 0;
    for (std::size_t k = 0; k + 1 < lines.size(); ++k) {
      least = std::min(least, lines[k + 1] - lines[k]);
      most = std::max(most, lines[k + 1] - lines[k]);
    }
    return least < 0.6 * most;
  };
  CHECK(narrow(map.ambient_C));
}

TEST_CASE("map: the job's own figures are where it begins", "[spread][map]") {
  const auto study = tests::example_study("five-door-estate");
  const auto& job = study.job;
  const auto rests = spread::usual_map(study, MapAxis::gap);
  CHECK(rests.voltage_V == job.supply.usual_V);
  CHECK(rests.ambient_from_C == job.climate.cold_C);
  CHECK(rests.ambient_to_C == job.climate.hot_C + 20);
  CHECK(rests.from_s == 0);
  CHECK(rests.to_s == 10);
  CHECK(rests.on_s == job.pulse.on_s);
  CHECK(rests.cycles == job.use.cycles);
  CHECK(spread::usual_map(study, MapAxis::on).to_s == 3);
  CHECK(spread::wanted_from(job, job.climate.hot_C) == job.use.hot_cycles);
  CHECK(spread::wanted_from(job, job.climate.hot_C - 1) == job.use.cycles);
}

TEST_CASE("map: pulses begin with the shortest that throws", "[spread][map]") {
  const auto study = tests::worked_study(1);
  const auto map = map_of(study, quick_plan(study, MapAxis::on));
  const auto throws = [&](double on_s) {
    const auto any = [&](double ambient) {
      for (const bool unlocking : {false, true}) {
        const auto circuit = sim::make_circuit(
            study, {.voltage_V = map.plan.voltage_V, .ambient_C = ambient, .after_trip = true});
        for (const auto& arrival : sim::single_throw(circuit, on_s, unlocking)) {
          if (!arrival) return false;
        }
      }
      return true;
    };
    return std::any_of(map.ambient_C.begin(), map.ambient_C.end(), any);
  };
  CHECK(map.plan.from_s == map.values_s.front());
  CHECK(throws(map.plan.from_s));
  CHECK_FALSE(throws(map.plan.from_s - 0.01));
}

TEST_CASE("map: any number of workers gives the same", "[spread][map]") {
  const auto study = tests::worked_study(2);
  for (const MapAxis over : {MapAxis::gap, MapAxis::on}) {
    const auto plan = quick_plan(study, over);
    const auto one = map_of(study, plan, 1), three = map_of(study, plan, 3);
    CHECK(one.ambient_C == three.ambient_C);
    CHECK(one.values_s == three.values_s);
    CHECK(one.cycles_done == three.cycles_done);
    REQUIRE(one.boundary.size() == three.boundary.size());
    for (std::size_t k = 0; k < one.boundary.size(); ++k) {
      CHECK(one.boundary[k].ambient_C == three.boundary[k].ambient_C);
      CHECK(one.boundary[k].value_s == three.boundary[k].value_s);
    }
  }
}

namespace {

/// Cancels after some reports, and keeps what it was told.
class EndsAfterReports final : public base::Progress {
 public:
  explicit EndsAfterReports(int reports) : left_(reports) {}
  void report(double fraction, std::string_view) override {
    const std::lock_guard lock(mutex_);
    told.push_back(fraction);
    --left_;
  }
  bool cancelled() const override { return left_ <= 0; }
  std::vector<double> told;

 private:
  std::mutex mutex_;
  std::atomic<int> left_;
};

}  // namespace

TEST_CASE("map: can be cancelled and tells how far it is", "[spread][map]") {
  const auto study = tests::worked_study(2);
  const auto plan = quick_plan(study, MapAxis::gap);
  for (const int reports : {0, 1, 20}) {
    EndsAfterReports soon(reports);
    CHECK_THROWS_AS(spread::make_map(study, plan, 2, soon), base::Cancelled);
  }
  EndsAfterReports patient(1000000);
  spread::make_map(study, plan, 1, patient);
  REQUIRE(patient.told.size() > 20);
  CHECK(std::is_sorted(patient.told.begin(), patient.told.end()));
  CHECK(patient.told.front() > 0);
  CHECK(patient.told.back() <= 1);
}

TEST_CASE("map: one ambient and a job that never throws", "[spread][map]") {
  const auto study = tests::worked_study(2);
  auto plan = quick_plan(study, MapAxis::gap);
  plan.ambient_to_C = plan.ambient_from_C;
  const auto line = map_of(study, plan);
  CHECK(line.ambient_C == std::vector<double>{plan.ambient_from_C});
  check_boundary(study, line);
  // 4 V move nothing here.
  for (const MapAxis over : {MapAxis::gap, MapAxis::on}) {
    auto weak = quick_plan(study, over);
    weak.voltage_V = 4;
    const auto none = map_of(study, weak);
    CHECK(none.boundary.empty());
    for (const auto& row : none.cycles_done) CHECK(*std::max_element(row.begin(), row.end()) == 0);
  }
}

TEST_CASE("boundary: rests and pulses of known edges", "[spread][map]") {
  const std::vector<double> values{0, 0.5, 1, 2, 4};
  const auto row_of = [&](const std::vector<int>& cycles) { return spread::MapRow{values, cycles, 5}; };
  const auto above = [](double edge) { return [edge](double value) { return value >= edge - 1e-12; }; };
  const auto below = [](double edge) { return [edge](double value) { return value <= edge + 1e-12; }; };
  const std::vector<int> rising{0, 2, 4, 7, 20}, all{5, 6, 7, 8, 9}, none{0, 1, 2, 3, 4};
  CHECK(*spread::shortest_rest(row_of(rising), above(1.37)) == Approx(1.37));
  CHECK(*spread::shortest_rest(row_of(rising), above(1.365)) == Approx(1.37));
  CHECK_FALSE(spread::shortest_rest(row_of(all), above(0)));
  CHECK_FALSE(spread::shortest_rest(row_of(none), above(9)));
  // Not the first that passes, where a longer one fails again.
  CHECK(*spread::shortest_rest(row_of({0, 5, 4, 7, 20}), above(1.61)) == Approx(1.61));

  const std::vector<int> hump{0, 9, 6, 3, 1};
  CHECK(*spread::longest_pulse(row_of(hump), 0.2, below(1.37)) == Approx(1.37));
  CHECK_FALSE(spread::longest_pulse(row_of({0, 9, 8, 7, 6}), 0.2, below(9)));
  CHECK_FALSE(spread::longest_pulse(row_of({0, 4, 3, 2, 1}), std::nullopt, below(9)));
  // Passing pulses all lie between two columns: 0.6 to 0.8 s beside a best of 4 cycles, or of none.
  const auto between = [](double value) { return value > 0.595 && value < 0.805; };
  CHECK(*spread::longest_pulse(row_of({0, 4, 3, 2, 1}), 0.2, between) == Approx(0.8));
  CHECK(*spread::longest_pulse(row_of({0, 0, 0, 0, 0}), 0.55, between) == Approx(0.8));
  CHECK_FALSE(spread::longest_pulse(row_of({0, 0, 0, 0, 0}), 2, between));
}
