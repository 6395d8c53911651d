// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <set>
#include <string>
#include <vector>

#include "model/study.h"
#include "sim/circuit.h"
#include "sim/cycle.h"

// Studies drawn at random from what a job may hold; all figures are invented.
namespace latchwright::tests {

/// Numbers that are the same with every compiler and library: SplitMix64 (Steele, Lea and Flood 2014, "Fast
/// splittable pseudorandom number generators").
class Draw {
 public:
  explicit Draw(std::uint64_t seed) : state_(seed) {}
  std::uint64_t bits();
  double between(double low, double high);
  /// The logarithm drawn evenly.
  double around(double low, double high);
  std::size_t below(std::size_t count);
  bool chance(double of_one) { return between(0, 1) < of_one; }

 private:
  std::uint64_t state_;
};

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
