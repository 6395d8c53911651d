// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "choose/candidates.h"

namespace latchwright::choose {

bool is_wire(const model::Place& place);
/// m of conductor in an open wire's place: the feed once, a door run there and back.
double conductor_length(const model::Study& study, const model::Place& place);

/// Sizes the open wires of a complete set from where they are: as long as a check fails, then as long as one
/// is tight, the next size up goes where it helps. A wire that heats or is not protected by its fuse grows
/// itself; against lost voltage (force, throw time, voltage drop, a short circuit too weak for the fuse) that
/// wire grows which takes off the most voltage for its copper. What no size lifts above tight keeps the
/// smaller sizes; what grew for another wire that has grown since goes back. At the end a run one size below
/// another of the same job takes that other size: one reel less.
void choose_wires(model::Study& study, const std::vector<model::Place>& open, const Parts& wires);

/// The same without going back and without regard for reels: whether these wires serve at all.
void grow_wires(model::Study& study, const std::vector<model::Place>& open, const Parts& wires);

}  // namespace latchwright::choose
