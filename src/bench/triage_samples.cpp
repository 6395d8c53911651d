// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include "bench/triage_likelihood.h"
#include "bench/triage_stories.h"

// What the members would show in each state.
namespace latchwright::bench {

namespace {

/// Where one lies, 0..1, within what its state leaves open.
struct Place {
  double supply, fault;
};

/// A member by itself, or so often that the places of all lie closer than a meter's error: each of the two
/// evenly, and across each other.
constexpr int fine_places = 16;

std::vector<Place> places_of(const Member& m, std::size_t member, bool fine) {
  if (!fine) return {{m.at_supply, m.at_fault}};
  std::vector<Place> made;
  const int shift = static_cast<int>(member % fine_places);
  for (int k = 0; k < fine_places; ++k) {
    made.push_back(
        {((7 * k + 3 * shift) % fine_places + m.at_supply) / fine_places, (k + m.at_fault) / fine_places});
  }
  return made;
}

// How bad a fault is (choices; docs/model.md section 11).
double worn_ohm(const Member& m, const Place& at) { return m.loop_ohm() * 2 * std::pow(15.0, at.fault); }
double shorted_ohm(const Member& m, const Place& at) { return 0.4 * m.winding_ohm * at.fault; }

double drive_V(const Member& m, double supply_V) {
  return std::max(0.0, supply_V - m.door().motor.brush_drop);
}

/// Current of a motor that turns without a load.
double free_A(const Member& m) {
  const auto& motor = m.door().motor;
  return motor.friction(m.ambient_C()) / motor.torque_constant(m.ambient_C());
}

/// What a clamp finds, by what the rotor did just then.
std::array<CurrentPart, 3> currents_of(State state, const Member& m, const Place& at, double supply_V) {
  const double drive = drive_V(m, supply_V);
  const double stall = drive / m.loop_ohm();
  const auto standing = [&](double share) { return CurrentPart{share, 0.9 * stall, stall, false}; };
  // Watched until its thermistor has warmed.
  const auto tripping = [&](double share) { return CurrentPart{share, 0.03 * stall, stall, true}; };
  switch (state) {
    case State::open:
      return {{{1, 0, 0, false}}};
    case State::shorted: {
      const double amps = std::min(60.0, supply_V / std::max(shorted_ohm(m, at), 0.05));
      return {{{1, amps, amps, false}}};
    }
    case State::worn: {
      const double most = drive / worn_ohm(m, at);
      // It turns, or an aged thermistor warms up under power.
      return {{{0.6, most, most, false}, {0.4, 0.25 * most, most, false}}};
    }
    case State::seized:
      return {{standing(0.6), tripping(0.4)}};
    default:
      return {{standing(0.5), {0.3, std::min(free_A(m), 0.5 * stall), 0.5 * stall, false}, tripping(0.2)}};
  }
}

/// One of them: kind tells the part, size where in it.
double current_at(const std::array<CurrentPart, 3>& currents, double kind, double size) {
  std::size_t k = 0;
  for (; k + 1 < currents.size() && kind >= currents[k].share && currents[k + 1].share > 0; ++k) {
    kind -= currents[k].share;
  }
  const auto& [share, low, high, in_logarithm] = currents[k];
  return in_logarithm && low > 0 ? low * std::pow(high / low, size) : low + size * (high - low);
}

/// From first, the switch just pressed, to last, to which it falls while the power stays on; read somewhere
/// on that way, mostly at its end.
std::array<CurrentPart, 3> falling(double first, double last) {
  if (!(first > last && last > 0)) return {{{1, std::max(first, last), std::max(first, last), false}}};
  return {{{0.5, last, first, true}, {0.5, last, last, false}}};
}

void show_current(const Member& m, const std::array<CurrentPart, 3>& currents, Sample& sample) {
  sample.currents = currents;
  sample.current_A = current_at(currents, m.at_kind, m.at_size);
}

Sample sample_of(State state, const Member& m, const Place& at, double share, const Readings& readings,
                 double nominal_V) {
  Sample sample;
  sample.weight = share;
  sample.supply_V = readings.supply_V.value_or(supply_at(state, at.supply, nominal_V));
  sample.meter_ohm = m.meter_ohm;
  return sample;
}

/// Across the leads of one that is whole, and of what may lie on top.
void show_leads(const Member& m, double loop_ohm, Sample& sample) {
  sample.top = Top::film;
  sample.base_ohm = loop_ohm + m.meter_ohm;
  sample.lead_ohm = sample.base_ohm + film_on_top.at(m.at_film);
}

/// The same of a fault.
void show_fault(State state, const Member& m, const Place& at, Sample& sample) {
  if (state == State::seized) {
    show_leads(m, m.loop_ohm(), sample);
  } else if (state == State::open) {
    sample.top = Top::leak;
    sample.base_ohm = m.meter_ohm;
    sample.lead_ohm = sample.base_ohm + leak_across.at(at.fault);
  } else {
    sample.lead_ohm = m.meter_ohm + (state == State::worn ? worn_ohm(m, at) : shorted_ohm(m, at));
  }
}

}  // namespace

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
  const bool fine =
      (state == State::worn || state == State::shorted) && (readings.current_A || readings.leads_ohm);
  for (std::size_t k = 0; k < members_.size(); ++k) {
    const Member& m = members_[k];
    const auto places = places_of(m, k, fine);
    const double share = 1.0 / static_cast<double>(members_.size() * places.size());
    for (const Place& at : places) {
      Sample sample = sample_of(state, m, at, share, readings, nominal_V_);
      show_fault(state, m, at, sample);
      show_current(m, currents_of(state, m, at, sample.supply_V), sample);
      out.push_back(sample);
    }
  }
  return out;
}

void Likelihoods::add_working(State state, const Readings& readings, std::vector<Sample>& out) const {
  const auto& story = readings.used ? waiting_.after_throws(*readings.used) : waiting_.after_trip();
  const double used = readings.used ? 1 - story_wrong : tried_until_tripped;
  const double whole = 1.0 / static_cast<double>(members_.size());
  constexpr double hardly = 1e-4;
  for (std::size_t k = 0; k < members_.size(); ++k) {
    const Member& m = members_[k];
    const Place at = places_of(m, k, false).front();
    Sample sample = sample_of(state, m, at, whole, readings, nominal_V_);
    show_current(m, currents_of(state, m, at, sample.supply_V), sample);
    const auto add = [&](double weight, double loop_ohm) {
      sample.weight = weight;
      show_leads(m, loop_ohm, sample);
      out.push_back(sample);
    };
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
      const double weight = whole * used * chance / longer;
      warm += weight;
      add(weight, moment.winding_ohm + moment.thermistor_ohm);
    }
    add(std::max(0.0, whole - warm), m.loop_ohm());
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
    for (const auto& after : story) sum += rest_shorter(after.regains_s);
    return sum / static_cast<double>(story.size());
  };
  // A part of which some never trip waits the less.
  double can_wait = 0;
  for (const auto& after : trip) can_wait += after.regains_s > 0 ? share : 0;

  const auto add = [&](const std::vector<AfterUse>& story, bool told_rest, double weight) {
    if (!(weight > 0)) return;
    constexpr double next_to_nothing = 1e-9;
    for (std::size_t k = 0; k < members_.size(); ++k) {
      const Member& m = members_[k];
      const Place at = places_of(m, k, false).front();
      double shorter = 0;
      for (const auto& moment : story[k].waits) {
        double chance = moment.usual;
        if (told_rest) {
          const double until = rest_shorter(*readings.idle_min, moment.to_s);
          chance = until - shorter;
          shorter = until;
        }
        if (!(chance > next_to_nothing)) continue;
        Sample sample = sample_of(State::waiting, m, at, share * chance * weight, readings, nominal_V_);
        const double loop = moment.winding_ohm + moment.thermistor_ohm;
        show_leads(m, loop, sample);
        // What keeps the thermistor hot is about the same power at any voltage.
        const double drive = drive_V(m, sample.supply_V);
        const double last = std::min(drive > 0 ? settled[k] * drive_V(m, m.circuit.source_V) / drive : 0.0,
                                     drive / m.loop_ohm());
        show_current(m, falling(drive / loop, last), sample);
        sample.rest_s = story[k].regains_s;
        sample.left_s = sample.rest_s - moment.at_s;
        out.push_back(sample);
      }
    }
  };
  const double usual = whole(trip);
  if (!(usual > 0)) {
    // By the model it cannot; only the model may be wrong.
    for (std::size_t k = 0; k < members_.size(); ++k) {
      const Member& m = members_[k];
      Sample sample = sample_of(State::waiting, m, places_of(m, k, false).front(), share * story_wrong,
                                readings, nominal_V_);
      show_leads(m, m.loop_ohm(), sample);
      const double stall = drive_V(m, sample.supply_V) / m.loop_ohm();
      show_current(m, falling(stall, stall), sample);
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
    usual_.prepare(counts);
    const double usual_trip = whole(usual_.after_trip());
    scale = 0;
    for (const auto& bin : used_bins()) {
      const double held = held_after(bin.stands_for);
      scale += bin.chance * ((1 - held) * whole(usual_.after_throws(bin.stands_for)) + held * usual_trip);
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

}  // namespace latchwright::bench
