// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>
#include <numeric>

#include "spread/figures.h"
#include "spread/interval.h"
#include "spread/sobol_sums.h"
#include "spread/spread.h"

namespace latchwright::spread {

namespace {

using Bins = std::map<std::int64_t, std::int64_t>;

constexpr double quantile_shares[] = {0.05, 0.5, 0.95};
/// Bins of a picture: fine ones beside each other are put together until there are at most so many.
constexpr std::int64_t most_bins = 40;

std::int64_t total_of(const Bins& bins) {
  return std::accumulate(bins.begin(), bins.end(), std::int64_t{0},
                         [](std::int64_t sum, const auto& bin) { return sum + bin.second; });
}

/// Evenly within the bin where it lies.
double quantile(const Figure& figure, const Bins& bins, double share) {
  double left = share * static_cast<double>(total_of(bins));
  for (const auto& [bin, count] : bins) {
    const auto here = static_cast<double>(count);
    if (left <= here) {
      const double low = bin_low(figure, bin);
      return low + left / here * (bin_low(figure, bin + 1) - low);
    }
    left -= here;
  }
  return bin_low(figure, bins.rbegin()->first + 1);
}

Distribution distribution_of(const Figure& figure, const Bins& bins, std::int64_t without) {
  Distribution out{figure.name, figure.title, figure.unit, {}, {}, 0, figure.without_text};
  const std::int64_t with = total_of(bins);
  if (with + without > 0) out.without = static_cast<double>(without) / static_cast<double>(with + without);
  if (with == 0) return out;
  for (const double share : quantile_shares) out.quantiles.emplace_back(share, quantile(figure, bins, share));
  const std::int64_t first = bins.begin()->first, last = bins.rbegin()->first;
  const std::int64_t together = (last - first) / most_bins + 1;
  for (std::int64_t begin = first; begin <= last; begin += together) {
    std::int64_t count = 0;
    for (auto each = bins.lower_bound(begin); each != bins.end() && each->first < begin + together; ++each) {
      count += each->second;
    }
    out.bins.push_back({bin_low(figure, begin), bin_low(figure, begin + together),
                        static_cast<double>(count) / static_cast<double>(with)});
  }
  return out;
}

Distribution cycles_distribution(const SpreadTally& tally) {
  Distribution out{"cycles", "whole cycles before a missed throw", "cycles", {}, {}, 0, ""};
  if (tally.done == 0) return out;
  const auto all = static_cast<double>(tally.done);
  for (const double share : quantile_shares) {
    std::int64_t below = 0;
    std::size_t n = 0;
    for (; n + 1 < tally.cycles.size(); ++n) {
      below += tally.cycles[n];
      if (static_cast<double>(below) >= share * all) break;
    }
    out.quantiles.emplace_back(share, static_cast<double>(n));
  }
  const auto filled = [](std::int64_t count) { return count > 0; };
  const auto first = std::find_if(tally.cycles.begin(), tally.cycles.end(), filled) - tally.cycles.begin();
  const auto last = tally.cycles.rend() - std::find_if(tally.cycles.rbegin(), tally.cycles.rend(), filled);
  for (auto n = first; n < last; ++n) {
    const auto middle = static_cast<double>(n);
    out.bins.push_back(
        {middle - 0.5, middle + 0.5, static_cast<double>(tally.cycles[static_cast<std::size_t>(n)]) / all});
  }
  return out;
}

void add_influences(const SpreadTally& tally, SpreadResult& result) {
  const auto indices = sobol_indices(tally.influence);
  if (indices.empty()) return;
  result.influence_of =
      tally.influence_on_trip ? "time to the first thermistor's trip" : "cycles before a missed throw";
  for (std::size_t k = 0; k < indices.size(); ++k) {
    const Uncertain& source = tally.sources[k];
    result.influences.push_back({source.key, source.name, indices[k].first, indices[k].first_error,
                                 indices[k].total, indices[k].total_error});
  }
  std::stable_sort(result.influences.begin(), result.influences.end(),
                   [](const Influence& a, const Influence& b) { return a.total > b.total; });
}

void add_tightenings(const SpreadTally& tally, SpreadResult& result) {
  result.as_it_is = chance_of(tally.tried_lockouts, tally.tried);
  for (std::size_t k = 0; k < tally.tightened.size(); ++k) {
    if (tally.tightened[k] == tally.tried_lockouts) continue;
    const Uncertain& source = tally.sources[k];
    result.tightenings.push_back({source.key, source.name, chance_of(tally.tightened[k], tally.tried)});
  }
  std::stable_sort(result.tightenings.begin(), result.tightenings.end(),
                   [](const Tightening& a, const Tightening& b) { return a.halved.count < b.halved.count; });
}

}  // namespace

SpreadResult conclude(const SpreadTally& tally) {
  SpreadResult result;
  result.plan = tally.plan;
  result.sources = tally.sources;
  result.done = tally.done;
  result.weak_V = tally.weak_V;
  result.weak_C = tally.weak_C;
  for (const int part : tally.slices) {
    SpreadPlan slice = tally.plan;
    slice.slice.part = part;
    result.wanted_done += samples_of(slice);
    if (!tally.sources.empty()) result.wanted_tried += tried_of(slice, tally.sources.size());
  }
  std::int64_t stopped = 0;
  for (std::size_t n = 0; n + 1 < tally.cycles.size(); ++n) {
    stopped += tally.cycles[n];
    result.lockout_by_cycles.push_back(chance_of(stopped, tally.done));
  }
  if (tally.plan.cycles > 0) {
    result.lockout = result.lockout_by_cycles.at(static_cast<std::size_t>(tally.plan.cycles) - 1);
  }
  result.missed_throw = chance_of(tally.missed_throws, tally.done);
  result.distributions.push_back(cycles_distribution(tally));
  const auto of = [](const auto& by_name, const char* name) {
    const auto found = by_name.find(name);
    return found == by_name.end() ? typename std::decay_t<decltype(by_name)>::mapped_type{} : found->second;
  };
  for (const Figure& figure : figures()) {
    result.distributions.push_back(
        distribution_of(figure, of(tally.bins, figure.name), of(tally.without, figure.name)));
  }
  add_influences(tally, result);
  add_tightenings(tally, result);
  return result;
}

}  // namespace latchwright::spread
