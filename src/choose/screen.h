// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/progress.h"
#include "choose/candidates.h"
#include "verdict/check_row.h"

// Which actuators can serve a group of doors at all: cheap looks first, simulation only of what survives
// them.
namespace latchwright::choose {

struct Screened {
  model::PartPtr actuator;
  /// The row that sinks it, door as in the job; none: it may serve.
  std::optional<verdict::CheckRow> sunk_by;
  /// Margins of stroke, force and throw time that no choice of the other parts can better, smallest first.
  std::vector<double> best_margins;
  /// Those and what the door alone lets expect of thermistor rating, stuck relay and hot cycling, smallest
  /// first: the order in which sets are judged.
  std::vector<double> expected_margins;
  double stall_A = 0;  ///< alone, at high voltage and cold: what it asks of wires, fuses and relay
};

/// Every candidate for a group, in the order of the candidates. The door is looked at alone, with the
/// thickest wires on offer, which leave the most voltage: what misses its stroke, force or throw then misses
/// it in every set. Thermistor, stall and lockout sink a candidate only if they do so with the thinnest wires
/// too. Throws base::Cancelled.
std::vector<Screened> screen(const model::Study& study, const DoorGroup& group, const Candidates& candidates,
                             unsigned workers, base::Progress& progress);

}  // namespace latchwright::choose
