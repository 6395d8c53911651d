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
  std::string unsolved;              ///< the engine's own words where it gave up (base::StudyError)
  std::vector<std::string> wrong;    ///< figures that cannot be
  double imbalance = 0;              ///< the largest, of the energy that was moved; docs/model.md section 9
  double stall_s = 0, cycles_s = 0;  ///< how long the computer took
};

/// Job `index` of `seed` through a stall and a short cycle at one of its own conditions, each with its energy
/// summed.
LawfulRun run_lawful(std::uint64_t seed, std::size_t index);

/// Relative. Owed by docs/model.md section 9; jobs at the ends of the ranges miss it now and then, which is
/// counted, but hardly ever by more than tenfold and never by more than a hundredfold.
inline constexpr double owed_balance = 1e-5, far_balance = 1e-4, most_balance = 1e-3;
/// Of all jobs, those that may miss what is owed, that may miss it by far, and that may be given up because
/// they take more than the budget.
inline constexpr double most_missing = 0.04, most_far = 5e-4, most_given_up = 5e-4;

}  // namespace latchwright::tests
