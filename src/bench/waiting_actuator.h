// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <map>
#include <vector>

#include "base/progress.h"
#include "bench/triage_members.h"
#include "sim/rest.h"

namespace latchwright::bench {

/// How one member stands when the power goes off.
struct AfterUse {
  std::vector<double> T_C;  ///< its heat nodes
  double regains_s = 0;     ///< rest until it has half of its cold force again; 0: never was below it
};

/// What the model says of an actuator that its thermistor holds back. It waits while its force at standstill
/// is below half of what it gives with everything at ambient.
class WaitingActuator {
 public:
  /// members must outlive it. on_s, gap_s: of the throws.
  WaitingActuator(const std::vector<Member>& members, double on_s, double gap_s, base::Progress& progress);

  /// Every member held until its thermistor tripped, and on for its held_s; those that do not trip do not
  /// wait.
  const std::vector<AfterUse>& after_trip();
  /// Every member after that many throws without a rod load, both ways by turns, from all at ambient.
  const std::vector<AfterUse>& after_throws(int throws);
  /// The same for several counts in one pass.
  void prepare(std::vector<int> throws);

  /// A member's heat nodes after a rest, degC.
  void rested(std::size_t member, const AfterUse& from, double seconds, std::vector<double>& T_C) const;

 private:
  /// Share of the cold force that a member has at these temperatures.
  double force_share(std::size_t member, const std::vector<double>& T_C) const;
  double regains_s(std::size_t member, const std::vector<double>& T_C) const;
  void look_for_cancel(double fraction) const;

  const std::vector<Member>& members_;
  double on_s_, gap_s_;
  base::Progress& progress_;
  std::vector<sim::Rest> rests_;
  std::vector<double> cold_force_;
  std::vector<AfterUse> trip_;
  std::map<int, std::vector<AfterUse>> throws_;
};

}  // namespace latchwright::bench
