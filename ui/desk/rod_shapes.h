// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "model/raw.h"

// The shapes of a rod force: each has keys of its own, and a change of shape keeps what it can.
namespace latchwright::desk {

/// Whether a key of a rod force belongs to the shape that it has.
bool belongs_to_shape(const model::Raw& rod_force, const std::string& key);
/// The rod force in another shape: the largest force stays, a table begins as the straight line between the
/// ends of the travel.
model::Raw reshaped(const model::Raw& rod_force, const std::string& shape, double stroke_mm);

}  // namespace latchwright::desk
