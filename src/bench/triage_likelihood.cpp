// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/triage_likelihood.h"

#include <algorithm>
#include <cmath>

#include "bench/reading_error.h"
#include "bench/triage_stories.h"

namespace latchwright::bench {

namespace {

/// Where it moves one way only, so often is the voltage read in the direction in which it moves.
constexpr double other_direction = 0.3;

// How bad a fault is (choices; docs/model.md section 11).
double worn_ohm(const Member& m) { return m.loop_ohm() * 2 * std::pow(15.0, m.at_fault); }
double shorted_ohm(const Member& m) { return 0.4 * m.winding_ohm * m.at_fault; }
double leak_ohm(const Member& m) { return std::pow(10.0, 2 + 5 * m.at_fault); }

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
      // It turns, or an aged thermistor warms up under power.
      return m.at_kind < 0.6 ? least : least * (0.25 + 0.75 * m.at_size);
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

double shown_ohm(const Readings& readings) {
  return std::max(*readings.leads_ohm, readings.meter_ohm.value_or(0));
}

double figures_density(const Sample& sample, const Readings& readings) {
  double density = 1;
  if (readings.leads_ohm && std::isfinite(*readings.leads_ohm)) {
    density *= ohmmeter.density(shown_ohm(readings), sample.lead_ohm);
  }
  if (readings.current_A) density *= clamp.density(*readings.current_A, sample.current_A);
  return density;
}

double right_leads_density(const Sample& sample, double shown_ohm) {
  return ohmmeter.right_density(shown_ohm, sample.lead_ohm);
}
double right_current_density(const Sample& sample, double shown_A) {
  return clamp.right_density(shown_A, sample.current_A);
}

double supply_chance_of(State state, std::size_t band, const Readings& readings) {
  const double own = supply_chances(state)[band];
  if (state != State::supply || readings.moves != Moves::one) return own;
  return other_direction * supply_chances(State::sound)[band] + (1 - other_direction) * own;
}

Sample Likelihoods::sample_of(State state, const Member& m, const Readings& readings) const {
  Sample sample;
  sample.weight = 1.0 / static_cast<double>(members_.size());
  sample.supply_V = readings.supply_V.value_or(supply_at(state, m.at_supply, nominal_V_));
  sample.meter_ohm = m.meter_ohm;
  return sample;
}

std::vector<Sample> Likelihoods::samples(State state, const Readings& readings) const {
  std::vector<Sample> out;
  if (state == State::waiting) {
    add_waiting(readings, out);
    return out;
  }
  if (state == State::sound || state == State::supply || state == State::end_switch) {
    add_working(state, readings, out);
    return out;
  }
  for (const auto& m : members_) {
    Sample sample = sample_of(state, m, readings);
    sample.lead_ohm = lead_ohm(state, m);
    sample.current_A = current_A(state, m, sample.supply_V);
    out.push_back(sample);
  }
  return out;
}

void Likelihoods::add_working(State state, const Readings& readings, std::vector<Sample>& out) const {
  const auto& story = readings.used ? waiting_.after_throws(*readings.used) : waiting_.after_trip();
  const double used = readings.used ? 1 - story_wrong : tried_until_tripped;
  constexpr double hardly = 1e-4;
  for (std::size_t k = 0; k < members_.size(); ++k) {
    const Member& m = members_[k];
    Sample sample = sample_of(state, m, readings);
    sample.current_A = current_A(state, m, sample.supply_V);
    const double whole = sample.weight;
    // It works, so its rest was longer than it had to wait.
    double warm = 0;
    const double from_s = story[k].regains_s;
    const double longer =
        1 - (readings.idle_min ? rest_shorter(*readings.idle_min, from_s) : rest_shorter(from_s));
    for (const auto& moment : story[k].cools) {
      const double chance = readings.idle_min ? rest_shorter(*readings.idle_min, moment.to_s) -
                                                    rest_shorter(*readings.idle_min, moment.from_s)
                                              : moment.usual;
      if (longer < hardly || chance < hardly * longer) continue;
      sample.weight = whole * used * chance / longer;
      sample.lead_ohm = moment.winding_ohm + moment.thermistor_ohm + m.film_ohm + m.meter_ohm;
      warm += sample.weight;
      out.push_back(sample);
    }
    sample.weight = std::max(0.0, whole - warm);
    sample.lead_ohm = lead_ohm(state, m);
    out.push_back(sample);
  }
}

// docs/model.md (11.6)
void Likelihoods::add_waiting(const Readings& readings, std::vector<Sample>& out) const {
  const double share = 1.0 / static_cast<double>(members_.size());
  const auto& trip = waiting_.after_trip();
  const auto& settled = waiting_.settled_A();
  // Chance that it still waits, whatever the rest.
  const auto whole = [&](const std::vector<AfterUse>& story) {
    double sum = 0;
    for (const auto& after : story) sum += share * rest_shorter(after.regains_s);
    return sum;
  };
  // A part of which some never trip waits the less.
  double can_wait = 0;
  for (const auto& after : trip) can_wait += after.regains_s > 0 ? share : 0;

  const auto add = [&](const std::vector<AfterUse>& story, bool told_rest, double weight) {
    if (!(weight > 0)) return;
    for (std::size_t k = 0; k < members_.size(); ++k) {
      const Member& m = members_[k];
      double shorter = 0;
      for (const auto& moment : story[k].waits) {
        double chance = moment.usual;
        if (told_rest) {
          const double until = rest_shorter(*readings.idle_min, moment.to_s);
          chance = until - shorter;
          shorter = until;
        }
        if (!(chance > 0)) continue;
        Sample sample = sample_of(State::waiting, m, readings);
        sample.weight = share * chance * weight;
        const double loop = moment.winding_ohm + moment.thermistor_ohm;
        sample.lead_ohm = loop + m.film_ohm + m.meter_ohm;
        // While the power stays on the current falls to what keeps the thermistor hot, about the same power
        // at any voltage; it is read somewhere on that way, mostly at its end.
        const double drive = drive_V(m, sample.supply_V);
        const double first = drive / loop;
        const double last = std::min(drive > 0 ? settled[k] * drive_V(m, m.circuit.source_V) / drive : 0.0,
                                     drive / m.loop_ohm());
        const double way = std::min(1.0, 2 * m.at_size);
        sample.current_A =
            first > last && last > 0 ? first * std::pow(last / first, way) : std::max(first, last);
        sample.rest_s = story[k].regains_s;
        sample.left_s = sample.rest_s - moment.at_s;
        out.push_back(sample);
      }
    }
  };
  const double usual = whole(trip);
  if (!(usual > 0)) {
    // By the model it cannot; only the model may be wrong.
    for (const auto& m : members_) {
      Sample sample = sample_of(State::waiting, m, readings);
      sample.weight = share * story_wrong;
      sample.lead_ohm = lead_ohm(State::waiting, m);
      sample.current_A = drive_V(m, sample.supply_V) / m.loop_ohm();
      out.push_back(sample);
    }
    return;
  }
  if (!readings.idle_min && !readings.used) {
    add(trip, false, can_wait / usual);
    return;
  }
  double scale = usual;
  if (readings.used) {
    std::vector<int> counts{*readings.used};
    for (const auto& bin : used_bins()) counts.push_back(bin.stands_for);
    waiting_.prepare(counts);
    scale = 0;
    for (const auto& bin : used_bins()) {
      const double held = held_after(bin.stands_for);
      scale += bin.chance * ((1 - held) * whole(waiting_.after_throws(bin.stands_for)) + held * usual);
    }
  }
  const auto& story = readings.used ? waiting_.after_throws(*readings.used) : trip;
  const double held = readings.used ? held_after(*readings.used) : 0;
  if (scale > 0) {
    const double right = (1 - story_wrong) * can_wait / scale;
    add(story, readings.idle_min.has_value(), right * (1 - held));
    add(trip, readings.idle_min.has_value(), right * held);
  }
  // Nothing of the story is true: neither its rest nor its heat.
  add(trip, false, story_wrong * can_wait / usual);
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
  double sum = 0;
  for (const auto& sample : samples(state, readings))
    sum += sample.weight * figures_density(sample, readings);
  return sum * words_chance(state, readings);
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
