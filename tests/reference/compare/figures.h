// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "reference/cvode/cvode_study.h"
#include "sim/cycle.h"
#include "sim/stall.h"

// What a study gives, from the engine and from the reference, as one list of figures that can be held against
// each other.
namespace latchwright::tests {

/// Accuracies of docs/model.md section 9: 0.2 %; 0.1 K; 1 % or 0.02 s; equal.
enum class Kind { ratio, kelvin, rest, count };

struct Figure {
  std::string what;  ///< the same of every door
  std::string door;  ///< empty: of the study
  Kind kind;
  std::optional<double> value;  ///< none: the study has no such figure
  /// A count that turns where this value, K, passes 0: within 0.1 K of there it may be either.
  std::optional<double> turns_at = std::nullopt;
};
using Figures = std::vector<Figure>;

Figures stall_figures(const sim::Circuit& circuit, const std::vector<sim::DoorStall>& stall);
Figures stall_figures(const cvode::Network& network, const std::vector<cvode::StallDoor>& stall,
                      const std::vector<std::optional<double>>& hold_currents);

Figures cycle_figures(const sim::Circuit& circuit, const sim::CycleResult& cycle);
/// recovery: none where nobody asked for it.
Figures cycle_figures(const cvode::Network& network, const cvode::CycleStudy& cycle,
                      const std::optional<cvode::Recovery>& recovery);

/// |have - want| over what is allowed; infinity where counts differ or only one is there.
double deviation(const Figure& have, const Figure& want);
/// What section 9 allows beside a value.
double allowed(const Figure& want);

}  // namespace latchwright::tests
