// SPDX-License-Identifier: GPL-3.0-or-later
#include <atomic>
#include <catch2/catch.hpp>
#include <cmath>
#include <numeric>

#include "base/failure.h"
#include "io/json.h"
#include "model/tolerance.h"
#include "report/spread_report.h"
#include "sim/lockout.h"
#include "sim/stall.h"
#include "spread/figures.h"
#include "spread/latin_hypercube.h"
#include "spread/sample.h"
#include "spread/spread.h"
#include "support/studies.h"

using namespace latchwright;
using spread::SpreadPlan;
using spread::SpreadTally;
using tests::Changes;

namespace {

/// The worked case where next to nothing scatters (fuse and contacts have a hundredth of a milliohm),
/// changed.
model::Study still_study(const Changes& more, int doors = 1) {
  std::string tolerance = "{";
  for (const auto& row : model::usual_tolerances()) {
    tolerance += (tolerance.size() > 1 ? ", \"" : "\"") + std::string(row.pointer) + "\": 0";
  }
  tolerance.push_back('}');
  Changes changes{{tests::worked_actuator + "/tolerance", tolerance},
                  {"/parts/3/cold_mohm", "0.01"},
                  {"/parts/4/contact_mohm", "0.01"},
                  {"/supply/internal_mohm", "0"},
                  {"/feed/length_m", "0"},
                  {"/spread", R"({"rod_force": 0, "voltage_V": 0, "ambient_C": 0, "length": 0})"}};
  for (int k = 0; k < doors; ++k)
    changes.push_back({"/doors/" + std::to_string(k) + "/branch_length_m", "0"});
  changes.insert(changes.end(), more.begin(), more.end());
  return tests::worked_study(doors, changes);
}

SpreadPlan plan_at(double ambient_C, int cycles, std::int64_t samples) {
  SpreadPlan plan;
  plan.voltage_V = 12.6;
  plan.ambient_C = ambient_C;
  plan.cycles = cycles;
  plan.on_s = 0.7;
  plan.gap_s = 1;
  plan.samples = samples;
  plan.seed = 3;
  return plan;
}

SpreadTally run(const model::Study& study, const SpreadPlan& plan, unsigned workers = 2) {
  base::NoProgress quiet;
  return spread::run_spread(study, plan, workers, quiet);
}

int counted(const model::Study& study, const SpreadPlan& plan, double ambient_C) {
  const sim::Condition at{.voltage_V = plan.voltage_V, .ambient_C = ambient_C, .after_trip = true};
  const sim::CyclePlan cycles{.cycles = 4 * plan.cycles, .on_s = plan.on_s, .gap_s = plan.gap_s};
  base::NoProgress quiet;
  return sim::count_worst(study, at, cycles, quiet).cycles_done;
}

std::string json_of(const SpreadTally& tally) {
  return io::write_json(report::spread_json({"job", false, tally, spread::conclude(tally)}));
}

/// Everything that a tally counts.
std::string counts_of(const SpreadTally& tally) {
  SpreadTally slice = tally;
  slice.plan.slice = {1, 2};
  return json_of(slice);
}

/// Cancels once so much is done.
class EndsAtShare final : public base::Progress {
 public:
  explicit EndsAtShare(double enough) : enough_(enough) {}
  void report(double fraction, std::string_view) override {
    furthest_ = std::max(furthest_.load(), fraction);
  }
  bool cancelled() const override { return furthest_ >= enough_; }
  double furthest() const { return furthest_; }

 private:
  double enough_;
  std::atomic<double> furthest_{0};
};

}  // namespace

TEST_CASE("spread: the chance of one uncertain figure is where its threshold lies", "[spread]") {
  // Only the air scatters, ±20 K about 55 °C. The throw is missed too early above one temperature, which
  // bisection over the deterministic count finds; the chance is then the share of the range above it.
  const model::Study study = still_study({{"/spread/ambient_C", "20"}});
  const SpreadPlan plan = plan_at(55, 3, 200);
  double low = 35, high = 75;
  REQUIRE(counted(study, plan, low) >= plan.cycles);
  REQUIRE(counted(study, plan, high) < plan.cycles);
  while (high - low > 1e-4) {
    const double middle = 0.5 * (low + high);
    (counted(study, plan, middle) < plan.cycles ? high : low) = middle;
  }
  const double exact = (75 - low) / 40;
  const auto result = spread::conclude(run(study, plan));
  CHECK(result.done == plan.samples);
  // One sample in each of 200 strata: off by the one that holds the threshold, at most.
  CHECK(std::fabs(result.lockout.estimate - exact) <= 1.0 / 200 + 1e-5);
  CHECK(result.lockout.low < exact);
  CHECK(result.lockout.high > exact);
  // All scatter is the air's, and half of it halves the range about 55 °C.
  REQUIRE_FALSE(result.influences.empty());
  CHECK(result.influences.front().key == "ambient_C");
  CHECK(result.influences.front().first == Approx(1).margin(1e-9));
  CHECK(result.influences.front().total == Approx(1).margin(5 * result.influences.front().total_error));
  const double halved = std::min(1.0, std::max(0.0, (65 - low) / 20));
  REQUIRE(result.tightenings.size() == 1);
  CHECK(result.tightenings.front().key == "ambient_C");
  CHECK(std::fabs(result.tightenings.front().halved.estimate - halved) <= 1.0 / 200 + 1e-5);
}

TEST_CASE("spread: where nothing scatters every sample is the deterministic one", "[spread]") {
  const model::Study study = still_study({});
  const SpreadPlan plan = plan_at(75, 2, 20);
  const auto tally = run(study, plan);
  const int cycles = counted(study, plan, plan.ambient_C);
  CHECK(cycles < 4 * plan.cycles);
  CHECK(tally.cycles[static_cast<std::size_t>(cycles)] == plan.samples);
  // And so with the places of every source at 0, whatever their widths.
  const model::Study wide =
      tests::worked_study(2, {{tests::worked_actuator + "/ptc/after_trip_ratio", "1.6"}});
  const spread::Sampler sampler(wide, plan);
  const std::vector<double> middle(sampler.uncertain().columns());
  base::NoProgress quiet;
  const auto figures = sampler.figures(middle, quiet);
  CHECK(figures.cycles == counted(wide, plan, plan.ambient_C));
  // Thermistors that have tripped before make fewer cycles, and their trip as new is another.
  CHECK(figures.cycles != counted(tests::worked_study(2), plan, plan.ambient_C));
  const auto circuit = sim::make_circuit(wide, {.voltage_V = 12.6, .ambient_C = 75});
  const auto stall = sim::simulate_stall(circuit, spread::held_s, {}, quiet);
  REQUIRE(figures.trip_s);
  CHECK(*figures.trip_s == std::min(*stall[0].trip_time_s, *stall[1].trip_time_s));
  CHECK(figures.peak_winding_C == std::max(stall[0].peak_winding_C, stall[1].peak_winding_C));
  const auto weak =
      sim::single_throw(sim::make_circuit(wide, {.voltage_V = 9, .ambient_C = -20}), 0.7, false);
  CHECK(figures.first_throw_s == std::max(weak[0], weak[1]));
}

TEST_CASE("spread: a throw that any sample misses is counted at the weak condition", "[spread]") {
  // A rod that takes about all that the motor has in the cold at 9 V: some miss, some do not.
  const model::Study study = tests::worked_study(1, {{"/doors/0/rod_force/peak_N", "62"}});
  const SpreadPlan plan = plan_at(23, 1, 60);
  const auto tally = run(study, plan);
  const spread::Sampler sampler(study, plan);
  const spread::LatinHypercube cube(plan.samples, sampler.uncertain().columns(), base::mixed(plan.seed, 1));
  std::int64_t missed = 0;
  for (std::int64_t i = 0; i < plan.samples; ++i) {
    const auto one = sampler.uncertain().at(cube.places(i));
    const auto circuit = sim::make_circuit(
        one.study, {.voltage_V = 9 + one.voltage_shift_V, .ambient_C = -20 + one.ambient_shift_K});
    if (!sim::single_throw(circuit, plan.on_s, false).front()) ++missed;
  }
  CHECK(tally.missed_throws == missed);
  CHECK(missed > 0);
  CHECK(missed < plan.samples);
  CHECK(tally.without.at(spread::throw_figure) == missed);
}

TEST_CASE("spread: any number of workers and slices in any order give the same bytes", "[spread]") {
  const model::Study study =
      still_study({{"/spread/ambient_C", "10"}, {"/spread/rod_force", "0.3"}, {"/spread/voltage_V", "0.5"}});
  const SpreadPlan plan = plan_at(70, 2, 45);
  const SpreadTally whole = run(study, plan, 1);
  CHECK(whole.done == plan.samples);
  CHECK(counts_of(run(study, plan, 2)) == counts_of(whole));
  CHECK(counts_of(run(study, plan, 5)) == counts_of(whole));
  std::vector<SpreadTally> slices;
  for (int part = 1; part <= 4; ++part) {
    SpreadPlan slice = plan;
    slice.slice = {part, 4};
    slices.push_back(run(study, slice));
    CHECK(slices.back().done == spread::samples_of(slice));
  }
  for (const auto& order : {std::vector<std::size_t>{0, 1, 2, 3}, {2, 0, 3, 1}}) {
    SpreadTally joined = slices[order[0]];
    for (std::size_t k = 1; k < order.size(); ++k) spread::add_slice(joined, slices[order[k]]);
    CHECK(json_of(joined) == json_of(whole));
    CHECK(counts_of(joined) == counts_of(whole));
    CHECK_THROWS_AS(spread::add_slice(joined, slices[0]), base::UsageError);
  }
  SpreadTally twice = slices[0];
  CHECK_THROWS_WITH(spread::add_slice(twice, slices[0]),
                    Catch::Contains("is slice 1 of 4, which is there already"));
}

TEST_CASE("spread: slices of another study do not join", "[spread]") {
  SpreadPlan plan = plan_at(75, 1, 12);
  plan.slice = {1, 2};
  const SpreadTally first = run(still_study({}), plan);
  plan.slice = {2, 2};
  const auto refused = [&](const model::Study& study, const SpreadPlan& other, const std::string& words) {
    SpreadTally whole = first;
    CAPTURE(words);
    CHECK_THROWS_WITH(spread::add_slice(whole, run(study, other)), Catch::Contains(words));
  };
  refused(still_study({{"/doors/0/rod_force/peak_N", "23"}}), plan, "another job");
  refused(still_study({{tests::worked_actuator + "/ptc/heat_J_per_K", "0.61"}}), plan, "another job");
  refused(still_study({{"/parts/0/mohm_per_m", "7.7"}}), plan, "another job");
  SpreadPlan other = plan;
  other.seed = 4;
  refused(still_study({}), other, "is of seed 4, the first file of 3");
  other = plan;
  other.samples = 13;
  refused(still_study({}), other, "is of 13 samples");
  other = plan;
  other.ambient_C = 74;
  refused(still_study({}), other, "another condition");
  other = plan;
  other.slice = {2, 3};
  refused(still_study({}), other, "one of 3 slices");
  // Title and notes change nothing that is counted.
  SpreadTally whole = first;
  CHECK_NOTHROW(spread::add_slice(whole, run(still_study({{"/title", "\"another name\""}}), plan)));
}

TEST_CASE("spread: stopped early it tells what is done", "[spread]") {
  const model::Study study = tests::worked_study(1);
  const SpreadPlan plan = plan_at(75, 1, 40);
  // Samples are the first twentieth of the work here, sources the rest.
  const std::int64_t sources = 20;
  const double in_samples = 0.5 * 80 / (80 + 40 * (1 + 1.5 * static_cast<double>(sources)));
  for (const double enough : {0.0, in_samples, 0.5}) {
    EndsAtShare progress(enough);
    const SpreadTally tally = spread::run_spread(study, plan, 2, progress);
    const auto result = spread::conclude(tally);
    CAPTURE(enough, tally.done, tally.tried);
    REQUIRE(static_cast<std::int64_t>(tally.sources.size()) == sources);
    CHECK(std::accumulate(tally.cycles.begin(), tally.cycles.end(), std::int64_t{0}) == tally.done);
    CHECK(result.lockout.of == tally.done);
    CHECK_FALSE(spread::finished(result));
    CHECK(progress.furthest() < 1);
    if (enough == 0) CHECK(tally.done == 0);
    if (enough == in_samples) {
      CHECK(tally.done > 0);
      CHECK(tally.done < plan.samples);
      CHECK(tally.tried == 0);
    }
    if (enough == 0.5) {
      CHECK(tally.done == plan.samples);
      CHECK(tally.tried > 0);
      CHECK(tally.tried < plan.samples);
    }
  }
  EndsAtShare patient(2);
  CHECK(spread::finished(spread::conclude(spread::run_spread(study, plan, 2, patient))));
  CHECK(patient.furthest() == Approx(1));
}

TEST_CASE("spread: where cycles do not vary influence is of the first trip", "[spread]") {
  // A cold day: every sample goes through all four cycles.
  const auto tally = run(tests::worked_study(1), plan_at(-10, 1, 30));
  CHECK(tally.cycles.back() == 30);
  CHECK(tally.influence_on_trip);
  const auto result = spread::conclude(tally);
  CHECK(result.influence_of == "time to the first thermistor's trip");
  CHECK(result.influences.size() == result.sources.size());
  CHECK(result.lockout.count == 0);
  CHECK(result.tightenings.empty());
}

TEST_CASE("spread: a wider thermistor tolerance never shrinks the range of cycles", "[spread]") {
  // With the same seed a sample's thermistor moves further the same way, and cycles fall as it rises.
  int grew = 0;
  for (const auto& [ambient_C, load_N] : {std::pair{23.0, "22"}, {60.0, "22"}, {75.0, "30"}}) {
    int fewest = 1 << 20, most = -1, first_range = -1, range = 0;
    for (const char* half_width : {"0.05", "0.15", "0.3"}) {
      const model::Study study =
          still_study({{tests::worked_actuator + "/tolerance/~1ptc~1resistance_ohm", half_width},
                       {"/doors/0/rod_force/peak_N", load_N}});
      const SpreadPlan plan = plan_at(ambient_C, 4, 16);
      const spread::Sampler sampler(study, plan);
      const spread::LatinHypercube cube(plan.samples, sampler.uncertain().columns(), 8);
      int low = 1 << 20, high = -1;
      base::NoProgress quiet;
      for (std::int64_t i = 0; i < plan.samples; ++i) {
        const int cycles = sampler.cycles(cube.places(i), 16, quiet);
        low = std::min(low, cycles);
        high = std::max(high, cycles);
      }
      CAPTURE(ambient_C, half_width, low, high);
      CHECK(low <= fewest);
      CHECK(high >= most);
      fewest = low;
      most = high;
      range = high - low;
      if (first_range < 0) first_range = range;
    }
    if (range > first_range) ++grew;
  }
  CHECK(grew > 0);
}

TEST_CASE("spread: quantiles come from bins of their width", "[spread]") {
  // Bins by hand: 1000 values of 1.00, 1.01 … 10.99 s; the 5, 50 and 95 % points of the list lie
  // at 1.495, 5.995 and 10.495, and a bin is 0.1 % wide.
  SpreadTally tally = spread::empty_tally(plan_at(23, 1, 1000), {});
  tally.slices = {1};
  const auto& figure = spread::figures().front();
  REQUIRE(figure.logarithmic);
  for (int k = 0; k < 1000; ++k) ++tally.bins[figure.name][spread::bin_of(figure, 1 + 0.01 * k)];
  tally.without[figure.name] = 250;
  tally.done = 1000;
  tally.cycles = {100, 300, 200, 150, 250};
  const auto result = spread::conclude(tally);
  const auto& trip = result.distributions.at(1);
  CHECK(trip.name == figure.name);
  CHECK(trip.without == Approx(0.2));
  const double exact[] = {1.495, 5.995, 10.495};
  REQUIRE(trip.quantiles.size() == 3);
  for (std::size_t k = 0; k < 3; ++k)
    CHECK(trip.quantiles[k].second == Approx(exact[k]).epsilon(2e-3).margin(0.01));
  double sum = 0;
  for (std::size_t k = 0; k < trip.bins.size(); ++k) {
    sum += trip.bins[k].share;
    CHECK(trip.bins[k].low < trip.bins[k].high);
    if (k > 0) CHECK(trip.bins[k].low == trip.bins[k - 1].high);
  }
  CHECK(sum == Approx(1));
  CHECK(trip.bins.size() <= 41);
  const auto& cycles = result.distributions.at(0);
  CHECK(cycles.quantiles[0].second == 0);
  CHECK(cycles.quantiles[1].second == 2);
  CHECK(cycles.quantiles[2].second == 4);
  // Stops before one cycle, two, three, four: 10, 40, 60, 75 %.
  REQUIRE(result.lockout_by_cycles.size() == 4);
  CHECK(result.lockout_by_cycles[0].count == 100);
  CHECK(result.lockout_by_cycles[1].count == 400);
  CHECK(result.lockout_by_cycles[2].count == 600);
  CHECK(result.lockout_by_cycles[3].count == 750);
  CHECK(result.lockout.count == 100);
}

TEST_CASE("spread: every value lies within its bin", "[spread]") {
  for (const auto& figure : spread::figures()) {
    for (const double value : {0.0101, 0.5, 1.0, 5.55688, 80.2608, 599.99}) {
      const auto bin = spread::bin_of(figure, value);
      CAPTURE(figure.name, value);
      CHECK(spread::bin_low(figure, bin) <= value * (1 + 1e-12));
      CHECK(spread::bin_low(figure, bin + 1) > value * (1 - 1e-12));
      CHECK(spread::bin_low(figure, bin + 1) - spread::bin_low(figure, bin) <=
            (figure.logarithmic ? 1.001e-3 * value : 0.0501));
    }
  }
  CHECK_THROWS_AS(spread::bin_of(spread::figures().front(), 0), base::InternalError);
}
