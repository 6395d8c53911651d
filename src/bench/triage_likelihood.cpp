// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/triage_likelihood.h"

#include <algorithm>
#include <cmath>

#include "bench/reading_error.h"

namespace latchwright::bench {

namespace {

/// Where it moves one way only, so often is the voltage read in the direction in which it moves.
constexpr double other_direction = 0.3;

bool reads_leads(const Readings& readings) {
  return readings.leads_ohm && std::isfinite(*readings.leads_ohm);
}

}  // namespace

double shown_ohm(const Readings& readings) {
  return std::max(*readings.leads_ohm, readings.meter_ohm.value_or(0));
}

double supply_chance_of(State state, std::size_t band, const Readings& readings) {
  const double own = supply_chances(state)[band];
  if (state != State::supply || readings.moves != Moves::one) return own;
  return other_direction * supply_chances(State::sound)[band] + (1 - other_direction) * own;
}

Wrong wrong_of(const Readings& readings) {
  return {reads_leads(readings) ? ohmmeter.wrong_density(shown_ohm(readings)) : 0.0,
          readings.current_A ? clamp.wrong_density(*readings.current_A) : 0.0};
}

double Likelihoods::right_leads_density(const Sample& sample, double shown) const {
  if (sample.top == Top::nothing) return ohmmeter.right_density(shown, sample.lead_ohm);
  auto& table = sample.top == Top::film ? film_ : leak_;
  if (!table || table->shown_ohm() != shown)
    table.emplace(sample.top == Top::film ? film_on_top : leak_across, shown);
  return table->of(sample.base_ohm);
}

Figures Likelihoods::figures_of(const Sample& sample, const Readings& readings) const {
  return figures_of(sample, readings, wrong_of(readings));
}

Figures Likelihoods::figures_of(const Sample& sample, const Readings& readings, const Wrong& wrong) const {
  double leads = 1, right_leads = 1, current = 1, right_current = 1;
  if (reads_leads(readings)) {
    right_leads = right_leads_density(sample, shown_ohm(readings));
    leads = right_leads + wrong.leads;
  }
  if (readings.current_A) {
    right_current = 0;
    for (const auto& part : sample.currents) {
      if (part.share <= 0) continue;
      right_current += part.share * clamp.right_density_between(*readings.current_A, part.low_A, part.high_A,
                                                                part.in_logarithm);
    }
    current = right_current + wrong.current;
  }
  return {sample.weight * leads * current, sample.weight * right_leads * current,
          sample.weight * leads * right_current};
}

Figures Likelihoods::figures(State state, const Readings& readings) const {
  Figures sum;
  const Wrong wrong = wrong_of(readings);
  for (const auto& sample : samples(state, readings)) {
    const Figures own = figures_of(sample, readings, wrong);
    sum.all += own.all;
    sum.right_leads += own.right_leads;
    sum.right_current += own.right_current;
  }
  return sum;
}

double Likelihoods::words_chance(State state, const Readings& readings) const {
  double chance = 1;
  if (readings.moves) chance *= moves_chances(state)[static_cast<std::size_t>(*readings.moves)];
  if (readings.frees) chance *= *readings.frees ? frees_chance(state) : 1 - frees_chance(state);
  if (readings.supply_V) {
    chance *= supply_chance_of(state, supply_band(*readings.supply_V, nominal_V_), readings);
  }
  if (readings.leads_ohm) {
    const double open = open_line_chance(state);
    chance *= std::isinf(*readings.leads_ohm) ? open : 1 - open;
  }
  return chance;
}

double Likelihoods::of(State state, const Readings& readings) const {
  return figures(state, readings).all * words_chance(state, readings);
}

// docs/model.md (11.1)
PerState posterior(const PerState& prior, const PerState& likelihood) {
  PerState chances{};
  double sum = 0;
  for (std::size_t s = 0; s < state_count; ++s) sum += chances[s] = prior[s] * likelihood[s];
  for (double& chance : chances) chance /= sum;
  return chances;
}

}  // namespace latchwright::bench
