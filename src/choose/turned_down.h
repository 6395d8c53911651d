// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "choose/assignments.h"
#include "choose/size.h"

// Why the other parts of the catalogue are not in the first set.
namespace latchwright::choose {

struct Judged {
  Assignment assignment;
  Pick pick;
};

/// What the search has seen.
struct Seen {
  const model::Study& study;
  const Candidates& candidates;
  const std::vector<model::Place>& open;
  const std::vector<DoorGroup>& groups;
  const std::vector<std::vector<Screened>>& screened;
  std::size_t insulation;  ///< that of the sets
};

/// One entry for every part and place: actuators by group of doors, wires by feed and door runs, fuses by
/// main fuse and door runs, relays. A smaller wire, fuse or relay is put into the first set in the other's
/// place and the checks say what it breaks.
std::vector<TurnedDown> turn_down(const Seen& seen, const Pick& first, unsigned workers,
                                  base::Progress& progress);

}  // namespace latchwright::choose
