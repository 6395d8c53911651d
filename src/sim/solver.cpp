// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/solver.h"

#include <fmt/format.h>

#include "base/failure.h"

namespace latchwright::sim {

void cannot_go_on(double t, const std::string& state) {
  throw base::StudyError(fmt::format("the study cannot go on at t = {:.6g} s: {}", t, state));
}

void over_budget(double t, std::size_t steps, const std::string& state) {
  throw base::BudgetError(
      fmt::format("the study is given up at t = {:.6g} s after {} steps at standstill, the most that it may "
                  "take: {}",
                  t, steps, state));
}

}  // namespace latchwright::sim
