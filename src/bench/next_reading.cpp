// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/next_reading.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <utility>

namespace latchwright::bench {

namespace {

/// Least share of the question between two states that a reading must tell to part them (choice).
constexpr double parts_them = 0.05;

/// Whether the reading has a meaning beside what was read already.
bool makes_sense(Reading reading, const Readings& readings, const PerState& now) {
  if (is_given(reading, readings)) return false;
  const bool powered = reading == Reading::moves || reading == Reading::frees || reading == Reading::supply ||
                       reading == Reading::current;
  if (powered && now[index_of(State::shorted)] >= too_likely_short) return false;
  // Where a reading is large the meter's own leads are lost in its error.
  if (reading == Reading::meter) return readings.leads_ohm && *readings.leads_ohm < 10 * most_meter_ohm;
  // What moves both ways has nothing to free itself from.
  if (reading == Reading::frees) return readings.moves != Moves::both;
  return true;
}

bool parts_any(const std::vector<PerState>& chances, const std::vector<State>& states) {
  for (std::size_t a = 0; a < states.size(); ++a) {
    for (std::size_t b = a + 1; b < states.size(); ++b) {
      std::vector<PerState> two;
      PerState whole{};
      for (const auto& outcome : chances) {
        two.push_back({});
        for (const State state : {states[a], states[b]}) {
          const std::size_t s = index_of(state);
          two.back()[s] = outcome[s];
          whole[s] += outcome[s];
        }
      }
      if (information_bits(two) >= parts_them * entropy_bits(whole)) return true;
    }
  }
  return false;
}

}  // namespace

std::vector<State> leading(const PerState& now) {
  PerState sorted = now;
  std::sort(sorted.begin(), sorted.end(), std::greater<>());
  std::vector<State> states;
  for (const State state : all_states) {
    const double chance = now[index_of(state)];
    if (chance > 0 && chance >= 0.5 * sorted[1]) states.push_back(state);
  }
  return states;
}

double entropy_bits(const PerState& chances) {
  double sum = 0, weighted = 0;
  for (const double chance : chances) {
    if (chance <= 0) continue;
    sum += chance;
    weighted += chance * std::log2(chance);
  }
  return sum > 0 ? std::max(0.0, std::log2(sum) - weighted / sum) : 0;
}

// docs/model.md (11.7)
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
  const std::vector<State> states = leading(now);
  std::optional<Choice> best;
  for (const Reading reading : all_readings) {
    if (!makes_sense(reading, readings, now)) continue;
    Joint joint = likelihoods.joint(reading, prior, readings);
    const double bits = information_bits(joint.chances);
    if (bits < least_bits || !parts_any(joint.chances, states)) continue;
    if (best && bits / trouble_min(reading) <= best->bits / trouble_min(best->reading)) continue;
    best = Choice{reading, bits, std::move(joint)};
  }
  return best;
}

}  // namespace latchwright::bench
