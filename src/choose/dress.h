// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "choose/candidates.h"
#include "verdict/check_row.h"

// Wires, fuses and relay for actuators that are settled: the smallest that keep every check above tight.
namespace latchwright::choose {

/// A set that the doors' actuators are part of, judged by all checks.
struct Dressed {
  model::Study study;           ///< complete
  verdict::Rows rows;           ///< the worst row of each check and subject
  std::size_t weakest = 0;      ///< index into rows
  double copper = 0;            ///< m³, in the wires that were open
  std::vector<double> margins;  ///< of the rows that do not just hold for ever, smallest first

  bool passes() const { return rows[weakest].verdict != verdict::Verdict::fails; }
  std::size_t count(verdict::Verdict verdict) const;
};

/// Some checks of a complete study, or all of them. stop_at_fail: what comes after the first check that fails
/// is left out.
Dressed judge_set(model::Study study, const std::vector<model::Place>& open,
                  const std::vector<verdict::CheckId>& checks = {}, bool stop_at_fail = false,
                  unsigned workers = 1);

/// Fills what is still open in `study`, whose actuators all sit, with one insulation's wires: the smallest
/// fuses and relay, and wires as choose_wires() has them, gone through until nothing changes. Not judged yet.
model::Study dress(model::Study study, const std::vector<model::Place>& open, const Candidates& candidates,
                   const Parts& wires, unsigned workers = 1);

/// Another insulation, fuses and relay left as they are, wires grown only: to see whether it serves.
model::Study dress_again(model::Study study, const std::vector<model::Place>& open, const Parts& wires);

}  // namespace latchwright::choose
