// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "model/parts.h"

// Sound actuators that differ from a part as its tolerances allow.
namespace latchwright::bench {

/// One cause of scatter, and the actuators at its ends: both ends of a tolerance; or a thermistor that has
/// tripped before, where that leaves a mark.
struct Scatter {
  std::string cause;
  std::vector<model::Actuator> ends;
};
std::vector<Scatter> scatter_of(const model::Actuator& actuator);

}  // namespace latchwright::bench
