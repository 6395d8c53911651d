// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <set>
#include <string>
#include <vector>

#include "model/study.h"
#include "sim/circuit.h"
#include "sim/cycle.h"
#include "support/draw.h"

// Studies drawn at random from what a job may hold; all figures are invented.
namespace latchwright::tests {

struct StudyCase {
  enum class Verb { stall, first_throw, cycles };
  std::string name;
  model::Study study;
  Verb verb = Verb::stall;
  sim::Condition at;
  std::vector<std::size_t> doors;  ///< driven; all where empty
  double limit_s = 600;            ///< of a stall
  sim::CyclePlan plan;             ///< of throws and cycles; cycles ask for the recovery
  std::set<std::string> features;
};

/// Study `index` of the set that a seed names; the same whichever others are drawn.
StudyCase random_study(std::uint64_t seed, std::size_t index);

}  // namespace latchwright::tests
