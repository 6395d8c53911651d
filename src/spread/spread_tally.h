// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "spread/uncertain.h"

namespace latchwright::spread {

/// Part `part` of `of` equal ones, from 1.
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

/// Whole numbers alone, so that tallies add up to the same in any order: what a slice keeps of its samples.
/// Its size does not grow with them.
struct SpreadTally {
  SpreadPlan plan;
  std::vector<Uncertain> sources;
  std::string input;  ///< fingerprint of everything that the samples follow from
  std::int64_t done = 0;
  std::int64_t missed_throws = 0;
  std::vector<std::int64_t>
      cycles;  ///< [n]: installations that did n whole cycles; the last: at least so many
  /// By figure: bin number -> installations; figure names and widths of bins in figures.h.
  std::map<std::string, std::map<std::int64_t, std::int64_t>> bins;
  std::map<std::string, std::int64_t> without;       ///< by figure: installations that have none
  std::vector<std::vector<std::int64_t>> influence;  ///< sums of sobol_sums.h, one row a block
  std::vector<std::int64_t> tightened;               ///< by source: lockouts at half its width
};

/// Adds a slice of the same study. Throws base::UsageError where it is of another study or was added before.
void add_slice(SpreadTally& whole, const SpreadTally& slice);

}  // namespace latchwright::spread
