// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "model/parts.h"

// Sound actuators that differ from a part as its tolerances allow.
namespace latchwright::bench {

/// Relative half-width of a thermistor's resistance where the part states none: usual in published
/// catalogues.
inline constexpr double usual_ptc_tolerance = 0.25;

/// Pointers of the figures that scatter and what readings follow from, with their relative half-widths: those
/// that the part states, and the thermistor's resistance.
std::vector<std::pair<std::string, double>> tolerances_of(const model::Actuator& actuator);

/// The part with one figure times a factor, kept within the range of its row in the field tables. The pointer
/// must name a number of an actuator ("/motor/resistance_ohm"); a figure that the part leaves out stays out.
model::Actuator with_scaled(const model::Actuator& actuator, const std::string& pointer, double factor);

/// One cause of scatter, and the actuators at its ends: both ends of a tolerance; or a thermistor that has
/// tripped before, where that leaves a mark.
struct Scatter {
  std::string cause;
  std::vector<model::Actuator> ends;
};
std::vector<Scatter> scatter_of(const model::Actuator& actuator);

}  // namespace latchwright::bench
