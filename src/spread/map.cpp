// SPDX-License-Identifier: GPL-3.0-or-later
#include "spread/map.h"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <functional>
#include <map>
#include <optional>
#include <utility>

#include "base/failure.h"
#include "base/worker_pool.h"
#include "model/job_fields.h"
#include "sim/lockout.h"
#include "spread/boundary.h"

namespace latchwright::spread {

namespace {

sim::Condition condition(const MapPlan& plan, double ambient_C) {
  return {.voltage_V = plan.voltage_V, .ambient_C = ambient_C, .after_trip = true};
}

sim::CyclePlan cycling(const MapPlan& plan, double value_s, int most) {
  const bool over_gap = plan.over == MapAxis::gap;
  return {.cycles = most, .on_s = over_gap ? plan.on_s : value_s, .gap_s = over_gap ? value_s : plan.gap_s};
}

/// The shortest pulse, in whole steps, with which all doors end a first throw in both directions.
std::optional<double> throws_from(const model::Study& study, const MapPlan& plan, double ambient_C) {
  const sim::Circuit circuit = sim::make_circuit(study, condition(plan, ambient_C));
  double latest = 0;
  for (const bool unlocking : {false, true}) {
    for (const auto& arrival : sim::single_throw(circuit, plan.to_s, unlocking)) {
      if (!arrival) return std::nullopt;
      latest = std::max(latest, *arrival);
    }
  }
  return std::ceil(latest * time_steps_per_s - axis_rounding) / time_steps_per_s;
}

void put_in_order(std::vector<double>& values) {
  std::sort(values.begin(), values.end());
  const auto same = [](double a, double b) { return b - a < axis_rounding; };
  values.erase(std::unique(values.begin(), values.end(), same), values.end());
}

/// About every 10 K, evenly but on round figures, and the job's own three where they lie between the ends.
std::vector<double> first_ambients(const MapPlan& plan, const model::Climate& climate) {
  const double from = plan.ambient_from_C, width = plan.ambient_to_C - from;
  constexpr double apart_K = 10;
  const double least = std::min(4.0, std::ceil(width / least_ambient_step_K));
  const int pieces = static_cast<int>(std::clamp(std::ceil(width / apart_K), least, 12.0));
  std::vector<double> ambients{from};
  ambients.push_back(plan.ambient_to_C);
  for (int n = 1; n < pieces; ++n) {
    const double round_C =
        least_ambient_step_K * std::round((from + width * n / pieces) / least_ambient_step_K);
    if (round_C > from && round_C < plan.ambient_to_C) ambients.push_back(round_C);
  }
  for (const double own : {climate.cold_C, climate.usual_C, climate.hot_C}) {
    if (own > from && own < plan.ambient_to_C) ambients.push_back(own);
  }
  put_in_order(ambients);
  return ambients;
}

/// Two digits, in whole steps: figures that somebody may set.
double plain(double value_s) {
  const double per_s = std::min(time_steps_per_s, std::pow(10, 1 - std::floor(std::log10(value_s))));
  return std::round(value_s * per_s) / per_s;
}

/// Geometrically from one end to the other (beside 0 from a fortieth of the longest), and the job's own.
std::vector<double> first_values(const MapPlan& plan, double own_s) {
  constexpr int count = 7;
  constexpr double beside_none = 40;
  const double low = plan.from_s > 0 ? plan.from_s : plan.to_s / beside_none;
  std::vector<double> values{plan.from_s, plan.to_s};
  for (int n = 0; n < count; ++n) {
    const double value = plain(low * std::pow(plan.to_s / low, static_cast<double>(n) / (count - 1)));
    if (value > plan.from_s && value < plan.to_s) values.push_back(value);
  }
  if (own_s > plan.from_s && own_s < plan.to_s) values.push_back(own_s);
  put_in_order(values);
  return values;
}

/// Tells how far it is though nobody knows at first how many counts there will be; never goes back.
class Share {
 public:
  Share(base::Progress& progress, std::size_t expected) : progress_(progress), expected_(expected) {}
  /// So many more counts will come at least.
  void expect(std::size_t counts) { expected_ = std::max<std::size_t>(expected_, done_ + counts); }
  void one_done() {
    const double share = static_cast<double>(++done_) / static_cast<double>(expected_);
    double told = told_;
    while (share > told && !told_.compare_exchange_weak(told, share)) {
    }
    progress_.report(std::min(1.0, std::max(share, told)), "counting cycles");
  }

 private:
  base::Progress& progress_;
  std::size_t expected_;
  std::atomic<std::size_t> done_{0};
  std::atomic<double> told_{0};
};

class MapMaker {
 public:
  MapMaker(const model::Study& study, const MapPlan& plan, unsigned workers, base::Progress& progress)
      : study_(study),
        plan_(plan),
        most_(sim::counted_times * plan.cycles),
        workers_(workers),
        progress_(progress),
        ambients_(first_ambients(plan, study.job.climate)),
        share_(progress, most_ambients * most_values) {}

  LockoutMap make();

 private:
  int count(double ambient_C, double value_s, int most) const {
    if (progress_.cancelled()) throw base::Cancelled();
    const sim::CyclePlan plan = cycling(plan_, value_s, most);
    return sim::count_worst(study_, condition(plan_, ambient_C), plan, progress_).cycles_done;
  }
  /// Counts what has no count yet.
  void fill();
  int at(std::size_t ambient, std::size_t value) const {
    return counts_.at({ambients_[ambient], values_[value]});
  }
  /// Puts lines between neighbours whose counts differ by more than one cycle somewhere; false: none left.
  bool refine();
  std::vector<double> gaps_in(const std::vector<double>& lines, std::size_t across, std::size_t room,
                              const std::function<int(std::size_t, std::size_t)>& count_at,
                              const std::function<std::optional<double>(double, double)>& between) const;
  std::vector<BoundaryPoint> boundary() const;

  const model::Study& study_;
  MapPlan plan_;
  int most_;
  unsigned workers_;
  base::Progress& progress_;
  std::vector<double> ambients_, values_;
  std::map<std::pair<double, double>, int> counts_;
  mutable Share share_;
};

void MapMaker::fill() {
  std::vector<std::pair<double, double>> missing;
  for (const double ambient : ambients_) {
    for (const double value : values_) {
      if (!counts_.contains({ambient, value})) missing.emplace_back(ambient, value);
    }
  }
  share_.expect(missing.size());
  std::vector<int> found(missing.size());
  base::for_each_index(missing.size(), workers_, [&](std::size_t k) {
    found[k] = count(missing[k].first, missing[k].second, most_);
    share_.one_done();
  });
  for (std::size_t k = 0; k < missing.size(); ++k) counts_[missing[k]] = found[k];
}

std::vector<double> MapMaker::gaps_in(
    const std::vector<double>& lines, std::size_t across, std::size_t room,
    const std::function<int(std::size_t, std::size_t)>& count_at,
    const std::function<std::optional<double>(double, double)>& between) const {
  struct Gap {
    int jump;  ///< cycles that no line shows, all along
    double middle;
  };
  std::vector<Gap> gaps;
  for (std::size_t k = 0; k + 1 < lines.size(); ++k) {
    int jump = 0;
    for (std::size_t j = 0; j < across; ++j) {
      jump += std::max(0, std::abs(count_at(k, j) - count_at(k + 1, j)) - 1);
    }
    const auto middle = between(lines[k], lines[k + 1]);
    if (jump > 0 && middle) gaps.push_back({jump, *middle});
  }
  std::stable_sort(gaps.begin(), gaps.end(), [](const Gap& a, const Gap& b) { return a.jump > b.jump; });
  std::vector<double> fresh;
  for (std::size_t k = 0; k < std::min(room, gaps.size()); ++k) fresh.push_back(gaps[k].middle);
  return fresh;
}

bool MapMaker::refine() {
  const auto warmer = [](double a, double b) -> std::optional<double> {
    if (b - a < 2 * least_ambient_step_K - axis_rounding) return std::nullopt;
    return (a + b) / 2;
  };
  const auto longer = [](double a, double b) -> std::optional<double> {
    const double middle = whole_step((a + b) / 2);
    constexpr double apart_s = 1 / time_steps_per_s - axis_rounding;
    if (middle < a + apart_s || middle > b - apart_s) return std::nullopt;
    return middle;
  };
  auto ambients = gaps_in(
      ambients_, values_.size(), most_ambients - std::min(most_ambients, ambients_.size()),
      [&](std::size_t k, std::size_t j) { return at(k, j); }, warmer);
  auto values = gaps_in(
      values_, ambients_.size(), most_values - std::min(most_values, values_.size()),
      [&](std::size_t k, std::size_t j) { return at(j, k); }, longer);
  if (ambients.empty() && values.empty()) return false;
  ambients_.insert(ambients_.end(), ambients.begin(), ambients.end());
  values_.insert(values_.end(), values.begin(), values.end());
  put_in_order(ambients_);
  put_in_order(values_);
  return true;
}

std::vector<BoundaryPoint> MapMaker::boundary() const {
  std::vector<std::optional<double>> found(ambients_.size());
  base::for_each_index(ambients_.size(), workers_, [&](std::size_t k) {
    std::vector<int> cycles;
    for (std::size_t j = 0; j < values_.size(); ++j) cycles.push_back(at(k, j));
    const MapRow row{values_, cycles, plan_.cycles};
    const Passes passes = [&](double value_s) {
      return count(ambients_[k], value_s, plan_.cycles) >= plan_.cycles;
    };
    found[k] = plan_.over == MapAxis::gap
                   ? shortest_rest(row, passes)
                   : longest_pulse(row, throws_from(study_, plan_, ambients_[k]), passes);
  });
  std::vector<BoundaryPoint> points;
  for (std::size_t k = 0; k < ambients_.size(); ++k) {
    if (found[k]) points.push_back({ambients_[k], *found[k]});
  }
  return points;
}

LockoutMap MapMaker::make() {
  if (plan_.over == MapAxis::on && plan_.from_s <= 0) {
    // Where nothing throws at any ambient, the shortest lawful pulse begins a map of nothing.
    std::optional<double> shortest;
    for (const double ambient : ambients_) {
      if (progress_.cancelled()) throw base::Cancelled();
      const auto here = throws_from(study_, plan_, ambient);
      if (here && *here < plan_.to_s) shortest = std::min(*here, shortest.value_or(*here));
    }
    plan_.from_s = std::max(model::pulse_table().find("on_s")->info.low, shortest.value_or(0));
  }
  values_ = first_values(plan_, plan_.over == MapAxis::gap ? plan_.gap_s : plan_.on_s);
  do {
    fill();
  } while (refine());
  LockoutMap map{plan_, most_, ambients_, values_, {}, boundary()};
  for (std::size_t k = 0; k < ambients_.size(); ++k) {
    map.cycles_done.emplace_back();
    for (std::size_t j = 0; j < values_.size(); ++j) map.cycles_done.back().push_back(at(k, j));
  }
  return map;
}

}  // namespace

MapPlan usual_map(const model::Study& study, MapAxis over) {
  const model::Job& job = study.job;
  constexpr double beyond_hot_K = 20, rest_to_s = 10, pulse_to_s = 3;
  MapPlan plan;
  plan.voltage_V = job.supply.usual_V;
  plan.ambient_from_C = job.climate.cold_C;
  plan.ambient_to_C =
      std::min(job.climate.hot_C + beyond_hot_K, model::climate_table().find("hot_C")->info.high);
  plan.over = over;
  plan.on_s = job.pulse.on_s;
  plan.gap_s = job.use.gap_s;
  const bool over_gap = over == MapAxis::gap;
  // NOLINTNEXTLINE(clang-analyzer-core.NullDereference): the rows are there.
  const auto& permitted =
      over_gap ? model::use_table().find("gap_s")->info : model::pulse_table().find("on_s")->info;
  plan.to_s = std::min(permitted.high,
                       over_gap ? std::max(rest_to_s, 2 * plan.gap_s) : std::max(pulse_to_s, 2 * plan.on_s));
  plan.cycles = wanted_from(job, plan.ambient_from_C);
  return plan;
}

int wanted_from(const model::Job& job, double ambient_C) {
  return ambient_C >= job.climate.hot_C ? job.use.hot_cycles : job.use.cycles;
}

LockoutMap make_map(const model::Study& study, const MapPlan& plan, unsigned workers,
                    base::Progress& progress) {
  base::require(study.complete() && plan.cycles > 0, "a map of an unfinished job");
  base::require(plan.ambient_from_C <= plan.ambient_to_C && plan.from_s < plan.to_s,
                "a map whose ranges are not in order");
  return MapMaker(study, plan, workers, progress).make();
}

}  // namespace latchwright::spread
