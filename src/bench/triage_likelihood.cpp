// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/triage_likelihood.h"

#include <algorithm>
#include <cmath>

#include "bench/reading_error.h"

namespace latchwright::bench {

namespace {

/// A story that does not fit the model (told wrongly, a warmer place) is still possible to this share.
constexpr double story_wrong = 0.03;

// How bad a fault is (choices; docs/model.md section 11).
double worn_ohm(const Member& m) { return m.loop_ohm() * 2 * std::pow(15.0, m.at_fault); }
double shorted_ohm(const Member& m) { return 0.4 * m.winding_ohm * m.at_fault; }
double leak_ohm(const Member& m) { return std::pow(10.0, 4 + 3 * m.at_fault); }

double drive_V(const Member& m, double supply_V) {
  return std::max(0.0, supply_V - m.door().motor.brush_drop);
}

/// Current of a motor that turns without a load.
double free_A(const Member& m) {
  const auto& motor = m.door().motor;
  return motor.friction(m.ambient_C()) / motor.torque_constant(m.ambient_C());
}

/// What a clamp finds, by what the rotor did just then.
double current_A(State state, const Member& m, double supply_V) {
  const double drive = drive_V(m, supply_V);
  const double stall = drive / m.loop_ohm();
  const double standing = stall * (0.9 + 0.1 * m.at_size);
  const double tripping = stall * std::pow(0.03, m.at_size);  // watched until its thermistor has warmed
  switch (state) {
    case State::open:
      return 0;
    case State::shorted:
      return std::min(60.0, supply_V / std::max(shorted_ohm(m), 0.05));
    case State::worn: {
      const double least = drive / worn_ohm(m);
      return m.at_kind < 0.7 ? least : least * (0.5 + 0.5 * m.at_size);
    }
    case State::seized:
      return m.at_kind < 0.6 ? standing : tripping;
    default:
      break;
  }
  if (m.at_kind < 0.5) return standing;
  if (m.at_kind < 0.8) {
    const double least = std::min(free_A(m), 0.5 * stall);
    return least + m.at_size * (0.5 * stall - least);
  }
  return tripping;
}

double lead_ohm(State state, const Member& m) {
  switch (state) {
    case State::open:
      return leak_ohm(m) + m.meter_ohm;
    case State::shorted:
      return shorted_ohm(m) + m.meter_ohm;
    case State::worn:
      return worn_ohm(m) + m.meter_ohm;
    default:
      return m.loop_ohm() + m.film_ohm + m.meter_ohm;
  }
}

}  // namespace

double figures_density(const Sample& sample, const Readings& readings) {
  double density = 1;
  if (readings.leads_ohm && std::isfinite(*readings.leads_ohm)) {
    density *= ohmmeter.density(*readings.leads_ohm, sample.lead_ohm);
  }
  if (readings.current_A) density *= clamp.density(*readings.current_A, sample.current_A);
  return density;
}

std::vector<Sample> Likelihoods::samples(State state, const Readings& readings) const {
  std::vector<Sample> out;
  if (state == State::waiting) {
    add_waiting(readings, out);
    return out;
  }
  for (const auto& m : members_) {
    Sample sample;
    sample.weight = 1.0 / static_cast<double>(members_.size());
    sample.supply_V = readings.supply_V.value_or(supply_at(state, m.at_supply, nominal_V_));
    sample.meter_ohm = m.meter_ohm;
    sample.lead_ohm = lead_ohm(state, m);
    sample.current_A = current_A(state, m, sample.supply_V);
    out.push_back(sample);
  }
  return out;
}

void Likelihoods::add_waiting(const Readings& readings, std::vector<Sample>& out) const {
  const auto waits = [](const AfterUse& after, double seconds) { return seconds < after.regains_s; };
  const double share = 1.0 / static_cast<double>(members_.size());
  // Share that waits over all idle times, and over all uses where a use was told: makes weights a likelihood.
  const auto whole = [&](const std::vector<AfterUse>& story) {
    double sum = 0;
    for (const auto& after : story) {
      for (const auto& node : idle_nodes()) {
        if (waits(after, 60 * node.minutes)) sum += share * node.chance;
      }
    }
    return sum;
  };
  // A part of which some never trip waits the less.
  double can_wait = 0;
  for (const auto& after : waiting_.after_trip()) can_wait += after.regains_s > 0 ? share : 0;
  double scale = 0;
  if (readings.used) {
    std::vector<int> counts{*readings.used};
    for (const auto& bin : used_bins()) counts.push_back(bin.stands_for);
    waiting_.prepare(counts);
    for (const auto& bin : used_bins()) scale += bin.chance * whole(waiting_.after_throws(bin.stands_for));
  } else {
    scale = whole(waiting_.after_trip());
  }
  const auto& story = readings.used ? waiting_.after_throws(*readings.used) : waiting_.after_trip();

  std::vector<double> T;
  for (std::size_t k = 0; k < members_.size(); ++k) {
    const Member& m = members_[k];
    const auto add = [&](double minutes, double chance) {
      waiting_.rested(k, story[k], 60 * minutes, T);
      const double winding = m.door().motor.winding_ohm(T[physics::winding]);
      const double thermistor = m.door().ptc.resistance(T[physics::ptc]).value;
      Sample sample;
      sample.plain_weight = share * chance;
      // Where nothing ever waits (scale 0) only a wrong story is left.
      const double right =
          scale > 0 && waits(story[k], 60 * minutes) ? (1 - story_wrong) * can_wait / scale : 0;
      sample.weight = share * chance * (right + story_wrong);
      sample.supply_V = readings.supply_V.value_or(supply_at(State::waiting, m.at_supply, nominal_V_));
      sample.meter_ohm = m.meter_ohm;
      sample.lead_ohm = winding + thermistor + m.film_ohm + m.meter_ohm;
      sample.current_A = drive_V(m, sample.supply_V) / (winding + thermistor);
      sample.left_s = story[k].regains_s - 60 * minutes;
      sample.ptc_C = T[physics::ptc];
      out.push_back(sample);
    };
    if (readings.idle_min) {
      add(*readings.idle_min, 1);
    } else {
      for (const auto& node : idle_nodes()) add(node.minutes, node.chance);
    }
  }
}

double Likelihoods::words_chance(State state, const Readings& readings) const {
  double chance = 1;
  if (readings.moves) chance *= moves_chances(state)[static_cast<std::size_t>(*readings.moves)];
  if (readings.frees) chance *= *readings.frees ? frees_chance(state) : 1 - frees_chance(state);
  if (readings.supply_V) chance *= supply_chances(state)[supply_band(*readings.supply_V, nominal_V_)];
  if (readings.leads_ohm) {
    const double open = open_line_chance(state);
    chance *= std::isinf(*readings.leads_ohm) ? open : 1 - open;
  }
  return chance;
}

double Likelihoods::of(State state, const Readings& readings) const {
  double sum = 0;
  for (const auto& sample : samples(state, readings))
    sum += sample.weight * figures_density(sample, readings);
  return sum * words_chance(state, readings);
}

PerState posterior(const PerState& prior, const PerState& likelihood) {
  PerState chances{};
  double sum = 0;
  for (std::size_t s = 0; s < state_count; ++s) sum += chances[s] = prior[s] * likelihood[s];
  for (double& chance : chances) chance /= sum;
  return chances;
}

}  // namespace latchwright::bench
