// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "bench/triage_likelihood.h"

namespace latchwright::bench {

/// bits; 0 for one state alone. chances need not be scaled.
double entropy_bits(const PerState& chances);

/// Mutual information of the state and the outcome, bits: what the reading is expected to tell. 0 or more.
double information_bits(const std::vector<PerState>& chances);

/// The reading that is still missing and tells most for its trouble, with what it is expected to show.
struct Choice {
  Reading reading = Reading::moves;
  double bits = 0;
  Joint joint;
};

// Below these nothing more is proposed (choice).
inline constexpr double settled_bits = 0.25;  ///< left of the question
inline constexpr double least_bits = 0.03;    ///< told by the reading

/// Chance of a short from which on nothing is proposed that needs power.
inline constexpr double too_likely_short = 0.3;

/// Those that count in what is read next: no state unlike them has half of the second one's chance.
std::vector<State> leading(const PerState& now);

/// None when the question is as good as settled, or when nothing that is missing would part any two of those
/// that lead.
std::optional<Choice> choose_next(const Likelihoods& likelihoods, const PerState& prior, const PerState& now,
                                  const Readings& readings);

}  // namespace latchwright::bench
