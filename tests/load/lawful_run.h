// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "model/study.h"

namespace latchwright::tests {

/// What one random job gave.
struct LawfulRun {
  bool accepted = false;             ///< by the checker
  std::string refused;               ///< why not
  std::string over_budget;           ///< the engine's own words where that is more than any study may take
  std::string unsolved;              ///< the same where it could not go on
  std::vector<std::string> wrong;    ///< figures that cannot be
  double imbalance = 0;              ///< the largest, of the energy that was moved; docs/model.md section 9
  double stall_s = 0, cycles_s = 0;  ///< how long the computer took
};

/// Job `index` of `seed` through a stall and a short cycle at one of its own conditions, each with its energy
/// summed.
LawfulRun run_lawful(std::uint64_t seed, std::size_t index);

/// Relative. Owed by docs/model.md section 9; jobs at the ends of the ranges miss it now and then, which is
/// counted, but never by more than tenfold.
inline constexpr double owed_balance = 1e-5, most_balance = 1e-4;
/// Of all jobs, those that may miss what is owed.
inline constexpr double most_missing = 0.01;
/// Of all jobs, those that may take more than the budget of docs/model.md section 9.
inline constexpr double most_over_budget = 1e-4;

}  // namespace latchwright::tests
