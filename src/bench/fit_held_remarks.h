// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "bench/fit_held.h"

namespace latchwright::bench {

/// Where a fit of held logs has ended.
struct Told {
  Eigen::VectorXd p;
  Eigen::MatrixXd spread;
  std::size_t left_out = 0;
  std::vector<std::size_t> at_end;  ///< figures that the logs press against the end of what is permitted
  HeldValues ends{};                ///< where those ended
  std::size_t free_parameters = 0;
};

/// Puts into the fit what is to be said of it (remarks, added to those that are there), why it is no
/// measurement (refused), and how far measured and fitted current are apart.
void describe(const HeldResiduals& residuals, const Told& told, HeldFit& fit);

/// What to ask where logs and fit do not go together.
extern const char* const held_questions;

}  // namespace latchwright::bench
