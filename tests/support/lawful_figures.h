// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "sim/cycle.h"
#include "sim/stall.h"

// What no study may say, whatever the job: figures that are no numbers, and what nature or the plan rules
// out.
namespace latchwright::tests {

/// What is wrong with the figures of a stall or of cycles, each in words; empty where nothing is.
///
/// Nothing in a lock takes heat away but the air, so nothing gets colder than it; no current flows backwards,
/// because the brushes' drop stands against it (docs/model.md section 2); and a study counts and lasts no
/// more than was asked.
std::vector<std::string> wrong_figures(const sim::Circuit& circuit, double limit_s,
                                       const std::vector<sim::DoorStall>& stalls);
std::vector<std::string> wrong_figures(const sim::Circuit& circuit, const sim::CyclePlan& plan,
                                       const sim::CycleResult& result);

}  // namespace latchwright::tests
