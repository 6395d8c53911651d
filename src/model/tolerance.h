// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "model/parts.h"
#include "model/study.h"

// How far parts of one kind differ from each other: what a part states, what is usual where it states
// nothing, and the part with one figure off.
namespace latchwright::model {

/// Relative half-width of a thermistor's resistance where the part states none: usual in published
/// catalogues.
inline constexpr double usual_ptc_tolerance = 0.25;

/// A figure of an actuator that scatters where its part does not say by how much.
struct UsualTolerance {
  const char* pointer;  ///< within the part
  double half_width;    ///< relative
  const char* origin;   ///< "published catalogues", "choice of this project"
};
/// One row a figure, the thermistor's resistance first.
const std::vector<UsualTolerance>& usual_tolerances();
/// Half-width of the row with this pointer; it must be there.
double usual_tolerance(const std::string& pointer);

/// Relative half-width of the thermistor's resistance: the part's own, or the usual one.
double ptc_tolerance(const Actuator& actuator);

/// The widest of all doors, as the lockout check takes it for all of them.
double widest_ptc_tolerance(const Study& study);

/// Pointers of the figures that scatter and what readings follow from, with their relative half-widths: those
/// that the part states, and the thermistor's resistance.
std::vector<std::pair<std::string, double>> tolerances_of(const Actuator& actuator);

/// One figure of a part that scatters.
struct PartTolerance {
  std::string pointer;    ///< within the part
  double half_width = 0;  ///< relative
  std::string origin;     ///< "stated by the part", or the usual row's
  bool stated = false;    ///< by the part; else usual
};
/// All of them: the usual figures in their order, where the part's own tolerance goes before; then what else
/// it states. Limits of use, and figures that do not scatter, are left out.
std::vector<PartTolerance> every_tolerance(const Actuator& actuator);

/// A figure of the part in the unit of a file; none where the part leaves it out. The pointer as for
/// with_scaled.
std::optional<double> figure_at(const Actuator& actuator, const std::string& pointer);

/// What a figure of an actuator is called in a sentence: "winding resistance"; the pointer itself where there
/// are no words for it.
std::string figure_words(const std::string& pointer);

/// The part with one figure times a factor, kept within the range of its row in the field tables. The pointer
/// must name a number of an actuator ("/motor/resistance_ohm"); a figure that the part leaves out stays out.
Actuator with_scaled(const Actuator& actuator, const std::string& pointer, double factor);

}  // namespace latchwright::model
