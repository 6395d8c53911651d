// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "choose/screen.h"

namespace latchwright::choose {

/// One actuator for each group of doors.
struct Assignment {
  std::vector<std::size_t> choice;  ///< by group, index into its candidates
  std::vector<double> best;         ///< margins that no set of it can better, smallest first
  std::vector<double> expected;     ///< margins that its set may be expected to have, smallest first
  std::size_t kinds = 0;            ///< different actuators
  bool sunk = false;                ///< a candidate of it cannot serve
};

/// The assignments worth judging, the most promising first: larger expected margins, then fewer kinds. Of
/// each group its best few candidates are combined, and every candidate that serves all groups stands for all
/// of them. Where a group has none that can serve, those that come nearest.
class Assignments {
 public:
  explicit Assignments(const std::vector<std::vector<Screened>>& groups);
  std::size_t size() const { return all_.size(); }
  const Assignment& at(std::size_t n) const { return all_.at(n); }
  /// One group changed after the other, from any assignment on.
  std::vector<Assignment> around(const Assignment& centre) const;

 private:
  const std::vector<std::vector<Screened>>& groups_;
  std::vector<std::vector<std::size_t>> orders_;
  std::vector<Assignment> all_;
};

}  // namespace latchwright::choose
