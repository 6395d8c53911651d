// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "bench/triage_texts.h"

// What to read again, and the trials beside the readings.
namespace latchwright::bench {

using base::exact_text;

namespace {

/// Less than any motor that turns draws, A.
constexpr double no_current_A = 0.05;

/// From this chance on that a reading went wrong it is asked for again (choice).
constexpr double likely_wrong = 0.5;

const char* clamp_words = "is the clamp round one lead only, set to direct current, and zeroed?";

State likeliest(const PerState& now) {
  return all_states[static_cast<std::size_t>(std::max_element(now.begin(), now.end()) - now.begin())];
}

}  // namespace

double TriageTexts::chance_wrong(Reading reading, const PerState& now) const {
  if (reading == Reading::leads && std::isinf(*readings_.leads_ohm)) {
    // A worn brush may leave the line open at times.
    return 1 - now[index_of(State::open)] - now[index_of(State::worn)];
  }
  // So little may be the meter's own leads, which are asked for first.
  if (reading == Reading::leads && !readings_.meter_ohm && *readings_.leads_ohm <= most_meter_ohm) return 0;
  double wrong = 0;
  for (const State state : all_states) {
    const double chance = now[index_of(state)];
    if (chance <= 0) continue;
    const Figures figures = likelihoods_.figures(state, readings_);
    wrong += chance *
             (1 - (reading == Reading::leads ? figures.right_leads : figures.right_current) / figures.all);
  }
  return wrong;
}

bool TriageTexts::fits(State state, Reading reading) const {
  const bool leads = reading == Reading::leads;
  Readings with = story();
  if (leads) {
    with.leads_ohm = readings_.leads_ohm;
  } else {
    with.supply_V = readings_.supply_V;
    with.current_A = readings_.current_A;
  }
  const Figures figures = likelihoods_.figures(state, with);
  return (leads ? figures.right_leads : figures.right_current) > 0.5 * figures.all;
}

bool TriageTexts::fits_none(Reading reading) const {
  return std::none_of(all_states.begin(), all_states.end(),
                      [&](State state) { return prior_[index_of(state)] > 0 && fits(state, reading); });
}

std::string TriageTexts::against(const PerState& now, const Weighted& expected, const char* unit) const {
  const State first = likeliest(now);
  return fmt::format("contradicts what else was read ({}, {:.0f} %, would show {} {})", one_that(first),
                     100 * now[index_of(first)], range_of(expected), unit);
}

Again TriageTexts::current_again(const PerState& now) const {
  const State first = likeliest(now);
  const Weighted expected = expected_amps(first);
  const double shown = *readings_.current_A;
  const std::string said =
      fmt::format("{} A {}", exact_text(shown),
                  fits_none(Reading::current) ? "fits none of these states, so it counts for little"
                                              : against(now, expected, "A"));
  if (shown <= quantile(expected, 0.9)) {
    return {Reading::current, fmt::format("The current again. {}: {}", said, clamp_words), false};
  }
  return {
      Reading::current,
      fmt::format("The current again, but no power on it before this is clear: {}, and a short may draw so "
                  "much. Battery off, its connector open: look at its fuse, and read the resistance across "
                  "its two motor leads{}. Only what shows no short then is powered and clamped again: {}",
                  said, readings_.leads_ohm ? " again" : "", clamp_words),
      true};
}

Again TriageTexts::leads_again(const PerState& now) const {
  if (std::isinf(*readings_.leads_ohm)) {
    return {
        Reading::leads,
        fmt::format("Resistance across the leads again. An open line {}: do the probes touch bare metal, and "
                    "are they on the motor's two leads?",
                    against(now, expected_ohms(likeliest(now)), "Ω")),
        false};
  }
  const std::string shown = exact_text(*readings_.leads_ohm) + " Ω";
  const char* how = "is it on the motor's two leads, unplugged, and in ohms?";
  if (fits_none(Reading::leads)) {
    return {Reading::leads,
            fmt::format(
                "Resistance across the leads again. {} fits none of these states, so it counts for little: "
                "{}",
                shown, how),
            false};
  }
  const State first = likeliest(now);
  const std::string said = shown + " " + against(now, expected_ohms(first), "Ω");
  if (!fits(State::shorted, Reading::leads)) {
    return {Reading::leads, fmt::format("Resistance across the leads again. {}: {}", said, how), false};
  }
  return {Reading::leads,
          fmt::format("Resistance across the leads again, and no power on it before this is clear: {}, and a "
                      "short would show so little. Battery off: {}",
                      said, how),
          true};
}

std::optional<Again> TriageTexts::read_again(const PerState& now) const {
  const auto& r = readings_;
  if (r.moves == Moves::both && r.current_A && *r.current_A < no_current_A) {
    return Again{
        Reading::current,
        fmt::format("The current again. What moves draws current, and this was none: {}", clamp_words),
        false};
  }
  if (r.moves == Moves::both && r.leads_ohm && std::isinf(*r.leads_ohm)) {
    return Again{
        Reading::leads,
        "Resistance across the leads again. What moves both ways has no open line: do the probes touch "
        "bare metal, and are they on the motor's two leads?",
        false};
  }
  const double leads = r.leads_ohm ? chance_wrong(Reading::leads, now) : 0;
  const double current = r.current_A ? chance_wrong(Reading::current, now) : 0;
  if (std::max(leads, current) < likely_wrong) return std::nullopt;
  return leads > current ? leads_again(now) : current_again(now);
}

std::string by_hand() {
  return "Battery off, rod off the lock: what binds by hand, its rod or the lock? "
         "A lock that binds is not cured by another actuator.";
}

std::string settling(const std::vector<State>& states) {
  const auto among = [&](State state) {
    return std::find(states.begin(), states.end(), state) != states.end();
  };
  std::vector<std::string> trials;
  // What needs no power comes first.
  if (among(State::seized)) trials.push_back(by_hand());
  if (among(State::end_switch)) {
    trials.emplace_back(
        "A meter across its switch wires, unplugged, while its rod goes from one end to the other by hand: "
        "what it "
        "shows must change near the ends.");
  } else if (among(State::supply)) {
    trials.emplace_back(
        "Unplugged and fed through a fuse from a good supply, in both directions, rod free and fingers "
        "clear: what "
        "then moves has a fault in its supply or wiring.");
  }
  if (trials.empty()) return "Take it out and look.";
  return fmt::format("{}", fmt::join(trials, " "));
}

}  // namespace latchwright::bench
