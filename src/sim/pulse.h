// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "sim/budget.h"
#include "sim/drive_step.h"
#include "sim/solver.h"
#include "sim/waiting.h"

namespace latchwright::sim {

/// Permitted error of one step at standstill, K: chosen, like the steps of moving doors, so that the figures
/// of docs/model.md section 9 are met with a wide margin.
inline constexpr double standstill_tolerance = 1e-3;

/// Runs pulses on one circuit. Holds work space only; what lasts between pulses is the doors' temperatures.
class PulseEngine {
 public:
  /// budget: of this engine, whose pulses are one study's.
  explicit PulseEngine(const Circuit& circuit, const Budget& budget = {});

  /// One pulse of all doors of the circuit. temperatures: heat_nodes per door, taken and left as they are at
  /// the pulse's end. start_s: the study's time when it begins, for the observers. Returns each door's
  /// arrival in seconds from the pulse's start, none for a missed throw.
  const std::vector<std::optional<double>>& run(std::vector<double>& temperatures, double start_s,
                                                double on_s, bool unlocking, const Observers& observers);

 private:
  struct Event {
    std::size_t door = 0;
    Drive::Kind kind = Drive::motion;
  };
  /// What the step that was looked at says of events: the first of those that are over at its end, else the
  /// next one; ahead: s from the end, by the rates there, below 0 when it is over.
  struct Outlook {
    bool over = false;
    double ahead = 1e300;
    Event event;
  };
  /// Where a step ends.
  struct Reach {
    enum What { length, event } what = length;
    Outlook next;
  };
  /// Takes one step, up to an event or the time `limit`; t and full_ move on.
  void step(double& t, double limit, double start_s, const Observers& observers);
  /// Finds how long the step is: h at most, or to the first event, which then lies near enough to be landed
  /// on.
  Reach aim(double& h, double longest);
  /// s, at most small_move: an event this far from a step's end h is landed on.
  double near_enough(double h) const;
  Outlook outlook() const;
  /// Counts a step; throws base::StudyError where there are too many.
  void count_step(double t);
  /// Names the door, the time, the budget and the figure that is to blame as far as it is known.
  [[noreturn]] void give_up_over_budget(double t, std::size_t most, const char* of) const;
  /// A time at which an event is over that has come and gone again inside a step of h, which was looked at
  /// last.
  std::optional<double> hidden_event(double h);
  /// Takes the event sought and every other that is reached at the same moment; moved: s, since the crossings
  /// were last looked at.
  void take_reached(const Event& sought, double moved, double t);
  void show(double start_s, const Observers& observers);
  /// Whether currents have come to where temperatures alone hold them; puts those into temps_.
  bool standing_still();
  /// On from temps_.
  void stand(double& t, double on_s, double start_s, const Observers& observers);

  const Circuit& circuit_;
  Drive drive_;
  DriveStep step_;
  WaitingSystem waiting_;
  Solver<WaitingSystem> solver_;
  State full_, temps_, scratch_;
  Drive::Crossings before_, after_, inside_;
  double next_step_ = 0;
  bool relaxed_ = false;  // nothing has just happened, and currents may have come to rest
  struct Past {
    double seconds = 0;
    DriveStep::Drift drift;
  };
  std::vector<Past> past_;  // the steps of the pulse before, as far as they are remembered
  Past beyond_;             // any after these
  std::size_t steps_ = 0;   // begun in this pulse
  Budget budget_;
  std::size_t pulse_count_ = 0, study_count_ = 0;  // steps, those at standstill too
  std::array<std::array<std::size_t, DriveStep::limits>, most_doors> blamed_{};  // in this pulse
  double standing_step_ = 0.05;  // s, grows to what the pulses want
  double time_constant_s_ = 0;   // longest L/R of a door
};

/// All nodes of all doors at ambient.
std::vector<double> ambient_temperatures(const Circuit& circuit);

}  // namespace latchwright::sim
