// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <map>
#include <vector>

#include "base/progress.h"
#include "bench/triage_members.h"
#include "sim/rest.h"

namespace latchwright::bench {

/// A stretch of a member's rest, and how it stands somewhere within.
struct Moment {
  double from_s = 0, to_s = 0;
  double at_s = 0;
  double winding_ohm = 0, thermistor_ohm = 0;
  double usual = 0;  ///< chance that a rest ends in this stretch, where no rest was told
};

/// How one member stands when the power goes off, and after.
struct AfterUse {
  std::vector<double> T_C;    ///< its heat nodes
  double regains_s = 0;       ///< rest until it moves again; 0: never stopped
  std::vector<Moment> waits;  ///< all of that rest, the stretches finer at first
  std::vector<Moment> cools;  ///< and what follows until it is about cold
};

/// What the model says of an actuator that its thermistor holds back. It moves again after the first rest
/// after which a throw completes within pulse_s against half of its cold force, as on a sheet of the bench.
/// That is found by throws after a trip; other uses take it by the share of the cold force that it has then.
class WaitingActuator {
 public:
  /// members must outlive it. on_s, gap_s: of the throws.
  WaitingActuator(const std::vector<Member>& members, double on_s, double gap_s, base::Progress& progress);

  /// Every member held until its thermistor tripped, and on for its held_s; those that do not trip do not
  /// wait.
  const std::vector<AfterUse>& after_trip();
  /// Every member after throws without a rod load, both ways by turns, from all at ambient: each as many as
  /// it may have made where `told` were told.
  const std::vector<AfterUse>& after_throws(int told);
  /// The same for several counts in one pass.
  void prepare(std::vector<int> told);
  /// A, of every member held at its voltage until the current no longer falls.
  const std::vector<double>& settled_A();

 private:
  /// Fills in how it cools.
  void let_rest(std::size_t member, AfterUse& after) const;
  Moment moment(std::size_t member, const AfterUse& after, double from_s, double to_s, double share) const;
  /// Share of the cold force that lets it throw again after this trip.
  double share_needed(std::size_t member, const std::vector<double>& T_C) const;
  /// First rest after which it has that share of its cold force.
  double rest_until(std::size_t member, const std::vector<double>& T_C, double share) const;
  /// Share of the cold force that a member has at these temperatures.
  double force_share(std::size_t member, const std::vector<double>& T_C) const;
  void look_for_cancel(double fraction) const;

  const std::vector<Member>& members_;
  double on_s_, gap_s_;
  base::Progress& progress_;
  std::vector<sim::Rest> rests_;
  std::vector<double> cold_force_;
  std::vector<double> needs_;  // share of the cold force, by member
  std::vector<double> settled_A_;
  std::vector<AfterUse> trip_;
  std::map<int, std::vector<AfterUse>> throws_;
};

}  // namespace latchwright::bench
