// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/next_reading.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace latchwright::bench {

namespace {

/// Whether the reading has a meaning beside what was read already.
bool makes_sense(Reading reading, const Readings& readings) {
  if (is_given(reading, readings)) return false;
  if (reading == Reading::meter) return readings.leads_ohm && std::isfinite(*readings.leads_ohm);
  // What moves both ways has nothing to free itself from.
  if (reading == Reading::frees) return readings.moves != Moves::both;
  return true;
}

}  // namespace

double entropy_bits(const PerState& chances) {
  double sum = 0, weighted = 0;
  for (const double chance : chances) {
    if (chance <= 0) continue;
    sum += chance;
    weighted += chance * std::log2(chance);
  }
  return sum > 0 ? std::max(0.0, std::log2(sum) - weighted / sum) : 0;
}

double information_bits(const std::vector<PerState>& chances) {
  PerState states{};
  double whole = 0, left = 0;
  for (const auto& outcome : chances) {
    double share = 0;
    for (std::size_t s = 0; s < state_count; ++s) {
      states[s] += outcome[s];
      share += outcome[s];
    }
    whole += share;
    left += share * entropy_bits(outcome);
  }
  return whole > 0 ? std::max(0.0, entropy_bits(states) - left / whole) : 0;
}

std::optional<Choice> choose_next(const Likelihoods& likelihoods, const PerState& prior, const PerState& now,
                                  const Readings& readings) {
  if (entropy_bits(now) < settled_bits) return std::nullopt;
  std::optional<Choice> best;
  for (const Reading reading : all_readings) {
    if (!makes_sense(reading, readings)) continue;
    Joint joint = likelihoods.joint(reading, prior, readings);
    const double bits = information_bits(joint.chances);
    if (bits < least_bits) continue;
    if (best && bits / trouble_min(reading) <= best->bits / trouble_min(best->reading)) continue;
    best = Choice{reading, bits, std::move(joint)};
  }
  return best;
}

}  // namespace latchwright::bench
