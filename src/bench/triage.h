// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "base/progress.h"
#include "bench/readings.h"
#include "model/parts.h"

namespace latchwright::bench {

/// What may be the matter with an actuator.
enum class State { sound, waiting, open, shorted, seized, worn, supply, end_switch };

struct StateRow {
  State state = State::sound;
  double likelihood = 0;  ///< after the readings; all states' add to 1
  std::string why;        ///< in the reader's own figures
};

/// How long an actuator that waits to cool has yet to wait until it moves again, s, from when it was read.
struct Wait {
  double s = 0;              ///< median over part tolerances and what was not read
  double low = 0, high = 0;  ///< 10 and 95 %: what to wait is the high one
  bool from_power_off =
      false;  ///< from the moment when the power went off: nothing tells how long ago it was
};

/// The reading that tells most about what is still undecided, for its trouble; or one to take again because
/// it fits nothing.
struct NextReading {
  std::string reading;  ///< key: leads, meter, idle, used, supply, current, moves, frees
  std::string why;
  double bits = 0;  ///< expected information; 0 of one to take again
};

struct Triage {
  std::vector<StateRow> states;     ///< likeliest first
  std::optional<Wait> wait;         ///< none unless waiting is worth a thought and no wait was tried
  std::optional<NextReading> next;  ///< none when nothing more would tell
  /// The trial beside the readings that no reading takes the place of, where none is left to take; else
  /// empty.
  std::string settles;
  std::vector<std::string> remarks;  ///< what was taken for granted, and what a reading cannot tell
};

/// "waiting", as results and files write it.
const char* id_of(State state);

/// Ranks what may be the matter: Bayes' rule over stated priors, each reading's spread from the part's
/// tolerances by the model (docs/model.md). Same readings, same result. Throws base::Cancelled.
Triage triage(const model::Actuator& actuator, const model::PtcCurve& curve, const Readings& readings,
              base::Progress& progress);

}  // namespace latchwright::bench
