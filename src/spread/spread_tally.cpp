// SPDX-License-Identifier: GPL-3.0-or-later
#include "spread/spread_tally.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/failure.h"
#include "spread/sobol_sums.h"

namespace latchwright::spread {

namespace {

void add_each(std::vector<std::int64_t>& sum, const std::vector<std::int64_t>& other) {
  base::require(sum.size() == other.size(), "tallies of one shape");
  for (std::size_t k = 0; k < sum.size(); ++k) sum[k] += other[k];
}

bool same_plan(const SpreadPlan& a, const SpreadPlan& b) {
  return a.voltage_V == b.voltage_V && a.ambient_C == b.ambient_C && a.cycles == b.cycles &&
         a.on_s == b.on_s && a.gap_s == b.gap_s;
}

/// Why two tallies are not of one study; the first that differs. Empty: they are.
std::string difference(const SpreadTally& a, const SpreadTally& b) {
  if (a.plan.samples != b.plan.samples)
    return fmt::format("is of {} samples, the first file of {}", b.plan.samples, a.plan.samples);
  if (a.plan.seed != b.plan.seed)
    return fmt::format("is of seed {}, the first file of {}", b.plan.seed, a.plan.seed);
  if (!same_plan(a.plan, b.plan))
    return "is of another condition, number of cycles, pulse or rest than the first file";
  if (a.input != b.input || a.sources.size() != b.sources.size())
    return "is of another job, or its parts have changed since the first file was made";
  if (a.plan.slice.of != b.plan.slice.of)
    return fmt::format("is one of {} slices, the first file one of {}", b.plan.slice.of, a.plan.slice.of);
  return "";
}

}  // namespace

std::int64_t samples_of(const SpreadPlan& plan) {
  const std::int64_t before = plan.slice.part - 1;
  return before >= plan.samples ? 0 : (plan.samples - before - 1) / plan.slice.of + 1;
}

std::int64_t tried_of_all(const SpreadPlan& plan, std::size_t sources) {
  const auto divisor = std::max<std::int64_t>(1, static_cast<std::int64_t>(sources));
  return std::min(plan.samples, std::clamp(tried_by_sources / divisor, least_tried, most_tried));
}

std::int64_t tried_of(const SpreadPlan& plan, std::size_t sources) {
  SpreadPlan first = plan;
  first.samples = tried_of_all(plan, sources);
  return samples_of(first);
}

SpreadTally empty_tally(const SpreadPlan& plan, const std::vector<Uncertain>& sources) {
  SpreadTally tally;
  tally.plan = plan;
  tally.sources = sources;
  tally.cycles.resize(static_cast<std::size_t>(counted_cycles(plan)) + 1);
  tally.influence = no_sobol_sums(sources.size());
  tally.tightened.resize(sources.size());
  return tally;
}

void add_counts(SpreadTally& whole, const SpreadTally& other) {
  base::require(whole.influence.size() == other.influence.size(), "tallies of one shape");
  whole.done += other.done;
  whole.missed_throws += other.missed_throws;
  whole.tried += other.tried;
  whole.tried_lockouts += other.tried_lockouts;
  add_each(whole.cycles, other.cycles);
  add_each(whole.tightened, other.tightened);
  for (std::size_t k = 0; k < whole.influence.size(); ++k) add_each(whole.influence[k], other.influence[k]);
  for (const auto& [figure, bins] : other.bins) {
    auto& into = whole.bins[figure];
    for (const auto& [bin, count] : bins) into[bin] += count;
  }
  for (const auto& [figure, count] : other.without) whole.without[figure] += count;
}

void add_slice(SpreadTally& whole, const SpreadTally& slice) {
  if (whole.plan.slice.of == 1) throw base::UsageError("is one slice too many: all are there already");
  if (const std::string why = difference(whole, slice); !why.empty()) throw base::UsageError(why);
  for (const int part : slice.slices) {
    if (std::find(whole.slices.begin(), whole.slices.end(), part) != whole.slices.end()) {
      throw base::UsageError(
          fmt::format("is slice {} of {}, which is there already", part, whole.plan.slice.of));
    }
  }
  if (whole.tried == 0) whole.influence_on_trip = slice.influence_on_trip;
  if (slice.tried > 0 && whole.influence_on_trip != slice.influence_on_trip)
    throw base::UsageError("says what matters to another figure than the first file");
  add_counts(whole, slice);
  whole.slices.insert(whole.slices.end(), slice.slices.begin(), slice.slices.end());
  std::sort(whole.slices.begin(), whole.slices.end());
  if (static_cast<int>(whole.slices.size()) == whole.plan.slice.of) {
    whole.plan.slice = {};
    whole.slices = {1};
  }
}

}  // namespace latchwright::spread
