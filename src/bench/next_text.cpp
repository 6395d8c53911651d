// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "bench/triage_texts.h"

// What to read next, in words.
namespace latchwright::bench {

using base::exact_text;
using base::significant;
using base::wait_text;

namespace {

/// While its switch is pressed, in the direction that tells.
std::string while_pressed(const Readings& readings) {
  if (readings.moves == Moves::both || readings.moves == Moves::neither) {
    return "while its switch is pressed, in both directions one after the other, fingers clear of the rod";
  }
  return std::string("while its switch is pressed, in the direction in which it does not move") +
         (readings.moves ? "" : ", if there is one") + ", fingers clear of the rod";
}

std::string how_to(Reading reading, const Readings& readings) {
  switch (reading) {
    case Reading::leads:
      return "Battery off, its connector open: resistance across the actuator's two motor leads";
    case Reading::meter:
      return "What the meter shows with its own leads touched together";
    case Reading::idle:
      return "How many minutes ago it was last used";
    case Reading::used:
      return "How often it was locked or unlocked in a row before it was last left alone";
    case Reading::supply:
      return "Plugged in, so that its motor is connected: voltage at the actuator's own leads " +
             while_pressed(readings);
    case Reading::current:
      return "Clamp round one of the actuator's leads, not both, " + while_pressed(readings);
    case Reading::moves:
      return "Press its switch both ways: which way does the rod move";
    case Reading::frees:
      return "Leave it alone for a minute, power off, then try again: does it move";
  }
  return "";
}

/// A limit of the tables, without zeros that mean nothing.
std::string tidy(double volts) { return base::exact_text(std::round(100 * volts) / 100); }

/// Of an outcome's words or figures: what a state would most likely show.
std::string expected_outcome(const Choice& choice, State state) {
  const Joint& joint = choice.joint;
  const std::size_t s = index_of(state);
  double whole = 0;
  std::size_t likeliest = 0;
  for (std::size_t o = 0; o < joint.chances.size(); ++o) {
    whole += joint.chances[o][s];
    if (joint.chances[o][s] > joint.chances[likeliest][s]) likeliest = o;
  }
  if (choice.reading == Reading::supply) {
    const double low = joint.low[likeliest], high = joint.high[likeliest];
    return std::isinf(high) ? tidy(low) + " V or more" : fmt::format("{} to {} V", tidy(low), tidy(high));
  }
  if (joint.low.empty()) return joint.outcomes[likeliest];
  // The middle 80 % of a figure.
  double low = joint.low.front(), high = joint.high.back(), sum = 0;
  bool found_low = false;
  for (std::size_t o = 0; o < joint.chances.size(); ++o) {
    sum += joint.chances[o][s];
    if (!found_low && sum >= 0.1 * whole) {
      low = joint.low[o];
      found_low = true;
    }
    if (sum >= 0.9 * whole) {
      high = joint.high[o];
      break;
    }
  }
  const std::string unit = choice.reading == Reading::current ? "A" : "Ω";
  if (std::isinf(low)) return "an open line";
  if (std::isinf(high)) return fmt::format("{} {} or more", significant(low, 2), unit);
  if (low == 0) return fmt::format("up to {} {}", significant(high, 2), unit);
  return fmt::format("{} to {} {}", significant(low, 2), significant(high, 2), unit);
}

struct Difference {
  std::string outcome;
  double first = 0, second = 0;  ///< its chance
};

/// The outcome, or the figure to stay below, by which two states differ most.
Difference difference(const Choice& choice, State first, State second) {
  const Joint& joint = choice.joint;
  const std::size_t a = index_of(first), b = index_of(second);
  double all_a = 0, all_b = 0;
  for (const auto& outcome : joint.chances) {
    all_a += outcome[a];
    all_b += outcome[b];
  }
  Difference most;
  double most_apart = -1, sum_a = 0, sum_b = 0;
  for (std::size_t o = 0; o < joint.chances.size(); ++o) {
    const double own_a = joint.chances[o][a] / all_a, own_b = joint.chances[o][b] / all_b;
    sum_a += own_a;
    sum_b += own_b;
    const bool figure = !joint.low.empty();
    if (figure && std::isinf(joint.high[o])) continue;
    const double chance_a = figure ? sum_a : own_a, chance_b = figure ? sum_b : own_b;
    if (std::fabs(chance_a - chance_b) <= most_apart) continue;
    most_apart = std::fabs(chance_a - chance_b);
    const char* unit = choice.reading == Reading::current  ? "A"
                       : choice.reading == Reading::supply ? "V"
                                                           : "Ω";
    most = {figure ? fmt::format("less than {} {}", significant(joint.high[o], 2), unit) : joint.outcomes[o],
            chance_a, chance_b};
  }
  return most;
}

}  // namespace

std::string one_that(State state) {
  switch (state) {
    case State::sound:
      return "a sound one";
    case State::waiting:
      return "one that waits to cool";
    case State::open:
      return "one with an open line";
    case State::shorted:
      return "a shorted one";
    case State::seized:
      return "a seized one";
    case State::worn:
      return "a worn one";
    case State::supply:
      return "one with a fault in its supply";
    case State::end_switch:
      return "one with an end-switch fault";
  }
  return "";
}

std::string TriageTexts::why_next(const Choice& choice, const PerState& now) const {
  // The two states that it is most likely to tell apart.
  PerState whole{};
  for (const auto& outcome : choice.joint.chances) {
    for (std::size_t s = 0; s < state_count; ++s) whole[s] += outcome[s];
  }
  std::size_t a = 0, b = 0;
  double most = -1;
  for (const State one : leading(now)) {
    for (const State other : leading(now)) {
      const std::size_t i = index_of(one), k = index_of(other);
      if (k <= i || whole[i] <= 0 || whole[k] <= 0) continue;
      double apart = 0;
      for (const auto& outcome : choice.joint.chances)
        apart += std::fabs(outcome[i] / whole[i] - outcome[k] / whole[k]);
      if (now[i] * now[k] * apart <= most) continue;
      most = now[i] * now[k] * apart;
      a = now[i] >= now[k] ? i : k;
      b = now[i] >= now[k] ? k : i;
    }
  }
  const State first = all_states[a], second = all_states[b];
  std::string text = fmt::format("{}. It tells most, for its trouble, of what is still undecided",
                                 how_to(choice.reading, readings_));
  if (choice.reading == Reading::idle || choice.reading == Reading::used) {
    Weighted regains;
    for (const auto& after : likelihoods_.waiting().after_trip()) {
      if (after.regains_s > 0) regains.emplace_back(after.regains_s, 1);
    }
    if (choice.reading == Reading::idle && !readings_.used) {
      text += fmt::format(
          ": once tripped it moves again {} to {} after the power went off, so a longer rest speaks "
          "against waiting.",
          wait_text(quantile(regains, 0.1)), wait_text(quantile(regains, 0.9)));
    } else if (choice.reading == Reading::idle) {
      text += ": the longer its rest, the less can it still wait to cool.";
    } else {
      // The first row of the table that makes waiting likelier.
      const std::size_t w = index_of(State::waiting);
      for (std::size_t o = 0; o < choice.joint.chances.size(); ++o) {
        double all = 0, every = 0;
        for (std::size_t s = 0; s < state_count; ++s) {
          all += choice.joint.chances[o][s];
          every += whole[s];
        }
        if (choice.joint.chances[o][w] / all < whole[w] / every) continue;
        text += fmt::format(
            ": with pulses of {} s and {} s of rest at {} V, fewer than about {} throws rarely heat its "
            "thermistor "
            "enough to wait; in hot air, with longer pulses or held at its end, fewer do.",
            exact_text(readings_.on_s), exact_text(readings_.gap_s),
            significant(likelihoods_.members().front().circuit.source_V), used_bins()[o].from);
        return text;
      }
      text.push_back('.');
    }
    return text;
  }
  if (choice.reading == Reading::meter) return text + ": what is across its leads is less by that.";
  const std::string one = fmt::format("{} ({:.0f} %)", one_that(first), 100 * now[a]);
  const std::string other = fmt::format("{} ({:.0f} %)", one_that(second), 100 * now[b]);
  const std::string shows = expected_outcome(choice, first), others = expected_outcome(choice, second);
  if (shows != others)
    return text + fmt::format(": {} would most likely show {}, {} {}.", one, shows, other, others);
  // Mostly the same: how often what differs most.
  const Difference most_apart = difference(choice, first, second);
  return text + fmt::format(": {} would show {} in about {:.0f} cases of 100, {} in about {:.0f}.", one,
                            most_apart.outcome, 100 * most_apart.first, other, 100 * most_apart.second);
}

}  // namespace latchwright::bench
