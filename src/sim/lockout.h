// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "base/progress.h"
#include "model/study.h"
#include "sim/cycle.h"

namespace latchwright::sim {

/// Cycles are counted up to so many times the wanted ones (docs/model.md section 8): further than that nobody
/// asks.
inline constexpr int counted_times = 4;

/// How far an installation comes before a throw is missed.
struct WorstCount {
  /// Of the worse of all doors together and each door alone.
  int cycles_done = 0;
  /// The door that locks out first alone, where that is the worse.
  std::optional<std::size_t> alone;
  /// The (first) door whose throw is missed; none where all were done.
  std::optional<std::size_t> stops_first;
};

/// Cycles before the first missed throw at a condition, as the lockout check counts (docs/model.md section
/// 8). The study must be complete. Throws base::Cancelled.
WorstCount count_worst(const model::Study& study, const Condition& at, CyclePlan plan,
                       const base::Progress& progress);

}  // namespace latchwright::sim
