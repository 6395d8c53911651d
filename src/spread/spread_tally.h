// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "sim/lockout.h"
#include "spread/uncertain.h"

namespace latchwright::spread {

/// Number `part` of `of` slices, from 1.
struct Slice {
  int part = 1, of = 1;
};

/// What is asked of a spread study.
struct SpreadPlan {
  double voltage_V = 0, ambient_C = 0;  ///< the condition that lockout, trip and windings are of
  int cycles = 0;                       ///< wanted
  double on_s = 0, gap_s = 0;
  std::int64_t samples = 2000;  ///< of the whole study
  std::uint64_t seed = 1;
  Slice slice;
};
inline constexpr std::int64_t most_samples = 1'000'000;

/// So far cycles are counted, as the check does.
inline int counted_cycles(const SpreadPlan& plan) { return sim::counted_times * plan.cycles; }

/// Whole numbers alone, so that tallies add up to the same in any order: what a slice keeps of its samples.
/// Its size does not grow with them.
struct SpreadTally {
  SpreadPlan plan;
  std::vector<Uncertain> sources;
  std::string input;              ///< fingerprint of everything that the samples follow from
  double weak_V = 0, weak_C = 0;  ///< the condition that missed throws are of
  std::vector<int> slices;        ///< numbers of those that are in here, rising
  std::int64_t done = 0;
  std::int64_t missed_throws = 0;
  std::vector<std::int64_t>
      cycles;  ///< [n]: installations that did n whole cycles; the last: at least so many
  /// By figure: bin number -> installations; figure names and widths of bins in figures.h.
  std::map<std::string, std::map<std::int64_t, std::int64_t>> bins;
  std::map<std::string, std::int64_t> without;       ///< by figure: installations that have none
  std::vector<std::vector<std::int64_t>> influence;  ///< sums of sobol_sums.h, one row a block
  bool influence_on_trip = false;              ///< the sums are of the first trip in 10 ms, not of cycles
  std::int64_t tried = 0, tried_lockouts = 0;  ///< samples that tightening was tried on, as they are
  std::vector<std::int64_t> tightened;         ///< by source: lockouts of them at half its width
};

/// Influence and tightening are looked at on so many samples at most, the first of all: every one of them
/// costs as many counts as there are sources, twice. Many sources therefore get fewer samples.
inline constexpr std::int64_t most_tried = 1024, least_tried = 128, tried_by_sources = 8192;
std::int64_t tried_of_all(const SpreadPlan& plan, std::size_t sources);

/// How many samples a slice has: number n of all samples, from 0, belongs to slice n modulo `of`, plus 1.
std::int64_t samples_of(const SpreadPlan& plan);
/// How many of them influence and tightening are looked at on.
std::int64_t tried_of(const SpreadPlan& plan, std::size_t sources);

/// A tally of the plan's shape without samples.
SpreadTally empty_tally(const SpreadPlan& plan, const std::vector<Uncertain>& sources);

/// Adds the counts of samples of the same study.
void add_counts(SpreadTally& whole, const SpreadTally& other);

/// Adds a slice of the same study; when it was the last one missing, the whole is what one run of it would
/// be. Throws base::UsageError where it is of another study, another way of slicing it, or was added before.
void add_slice(SpreadTally& whole, const SpreadTally& slice);

}  // namespace latchwright::spread
