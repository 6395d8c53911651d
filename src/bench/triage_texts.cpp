// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/triage_texts.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "bench/triage_stories.h"

namespace latchwright::bench {

using base::exact_text;
using base::significant;
using base::wait_text;

namespace {

std::string volts(double as_12_V, double nominal_V) {
  return exact_text(std::round(100 * as_12_V * nominal_V / 12.6) / 100);
}

const char* words_of(Moves moves) {
  return moves == Moves::both  ? "moves both ways"
         : moves == Moves::one ? "moves one way only"
                               : "moves neither way";
}

Moves likeliest_moves(State state) {
  const auto& chances = moves_chances(state);
  return static_cast<Moves>(std::max_element(chances.begin(), chances.end()) - chances.begin());
}

}  // namespace

std::string range_of(const Weighted& values) {
  const std::string low = significant(quantile(values, 0.1)), high = significant(quantile(values, 0.9));
  return low == high ? "about " + low : low + " to " + high;
}

TriageTexts::TriageTexts(const Likelihoods& likelihoods, const PerState& prior, const Readings& readings)
    : likelihoods_(likelihoods), prior_(prior), readings_(readings) {
  const auto add = [&](Reading reading, const Readings& with, const Readings& without) {
    Evidence evidence{reading, {}};
    for (const State state : all_states) {
      const std::size_t s = index_of(state);
      if (prior[s] > 0) evidence.likelihood[s] = likelihoods.of(state, with) / likelihoods.of(state, without);
    }
    evidence_.push_back(evidence);
  };
  const Readings told = story();
  if (readings.idle_min || readings.used) add(Reading::idle, told, {});
  if (readings.leads_ohm) {
    Readings with = told;
    with.leads_ohm = readings.leads_ohm;
    add(Reading::leads, with, told);
  }
  Readings energised = told;
  if (readings.supply_V) {
    energised.supply_V = readings.supply_V;
    add(Reading::supply, energised, told);
  }
  if (readings.current_A) {
    Readings with = energised;
    with.current_A = readings.current_A;
    add(Reading::current, with, energised);
  }
  if (readings.moves) {
    Readings with;
    with.moves = readings.moves;
    add(Reading::moves, with, {});
  }
  if (readings.frees) {
    Readings with;
    with.frees = readings.frees;
    add(Reading::frees, with, {});
  }
}

Readings TriageTexts::story() const {
  Readings told;
  told.meter_ohm = readings_.meter_ohm;
  told.ambient_C = readings_.ambient_C;
  told.idle_min = readings_.idle_min;
  told.used = readings_.used;
  told.on_s = readings_.on_s;
  told.gap_s = readings_.gap_s;
  return told;
}

Weighted TriageTexts::expected_ohms(State state) const {
  Weighted ohms;
  for (const auto& sample : likelihoods_.samples(state, story())) {
    const double own = readings_.meter_ohm ? sample.meter_ohm : 0;
    ohms.emplace_back(sample.lead_ohm - own, sample.weight);
  }
  return ohms;
}

std::string TriageTexts::leads_words() const {
  if (!readings_.meter_ohm) {
    return exact_text(*readings_.leads_ohm) + " Ω across the leads with the meter's own";
  }
  const double less = shown_ohm(readings_) - *readings_.meter_ohm;
  return significant(less) + " Ω across the leads without the meter's own";
}

Weighted TriageTexts::expected_amps(State state) const {
  Readings energised = story();
  energised.supply_V = readings_.supply_V;
  Weighted amps;
  for (const auto& sample : likelihoods_.samples(state, energised)) {
    amps.emplace_back(sample.current_A, sample.weight);
  }
  return amps;
}

std::string TriageTexts::figure_phrase(const std::string& shown, const std::optional<double>& figure,
                                       const std::string& unit, const Weighted& expected,
                                       bool speaks_for) const {
  const std::string range = range_of(expected) + " " + unit;
  const bool inside = figure && *figure >= quantile(expected, 0.1) && *figure <= quantile(expected, 0.9);
  if (speaks_for) {
    return inside ? fmt::format("{}, as expected ({})", shown, range)
                  : fmt::format("{}, nearer to what it would show ({}) than to most others", shown, range);
  }
  return inside ? fmt::format("{}, which fits others better (here {})", shown, range)
                : fmt::format("{}, where {} would be expected", shown, range);
}

std::string TriageTexts::phrase(const Evidence& evidence, State state, bool speaks_for) const {
  switch (evidence.reading) {
    case Reading::leads: {
      if (std::isinf(*readings_.leads_ohm)) {
        if (state == State::open) return "a meter shows an open line";
        return figure_phrase("a meter shows an open line", {}, "Ω", expected_ohms(state), speaks_for);
      }
      if (state == State::open && !speaks_for)
        return leads_words() + ", where an open line would be expected";
      if (state == State::open) return leads_words() + ", far more than a sound one's";
      const double own = readings_.meter_ohm.value_or(0);
      return figure_phrase(leads_words(), shown_ohm(readings_) - own, "Ω", expected_ohms(state), speaks_for);
    }
    case Reading::supply: {
      const std::string shown = exact_text(*readings_.supply_V) + " V at its leads while energised";
      if (speaks_for) return shown + ", as expected";
      const double nominal = likelihoods_.nominal_V();
      const auto& edge = supply_edges_V();
      if (state == State::supply) {
        return fmt::format("{}, where less than {} V would be expected", shown, volts(edge[3], nominal));
      }
      if (state == State::shorted)
        return shown + ", where a voltage pulled down or a blown fuse would be expected";
      return fmt::format("{}, where {} to {} V would be expected", shown, volts(edge[3], nominal),
                         volts(edge[4], nominal));
    }
    case Reading::current:
      return figure_phrase(exact_text(*readings_.current_A) + " A while energised", *readings_.current_A, "A",
                           expected_amps(state), speaks_for);
    case Reading::idle:
      // Says nothing of the other states but by what it says of this one.
      if (state != State::waiting) return "";
      return speaks_for ? "it was used so shortly before"
                        : "after that hardly any such actuator would still wait";
    case Reading::moves: {
      const std::string shown = words_of(*readings_.moves);
      const Moves usual = likeliest_moves(state);
      return speaks_for || usual == *readings_.moves
                 ? shown
                 : fmt::format("{}, where most such {}", shown,
                               usual == Moves::both ? "move both ways" : "move neither way");
    }
    case Reading::frees:
      return *readings_.frees ? "moves again after a wait" : "does not move again after a wait";
    default:
      return "";
  }
}

std::string TriageTexts::thermistor_sentence() const {
  if (!readings_.idle_min && !readings_.used) return "";
  if (readings_.used && *readings_.used == 0)
    return "It was not used before: nothing has heated its thermistor.";
  WaitingActuator& waiting = likelihoods_.waiting();
  const auto& story = readings_.used ? waiting.after_throws(*readings_.used) : waiting.after_trip();
  Weighted warmth, regains;
  double still = 0;
  for (const auto& after : story) {
    const bool stops = after.regains_s > 0;
    if (!readings_.used && !stops) continue;  // one that never trips is not held back
    warmth.emplace_back(after.T_C[physics::ptc], 1);
    if (stops) regains.emplace_back(after.regains_s, 1);
    if (stops && readings_.idle_min) still += rest_shorter(*readings_.idle_min, after.regains_s);
  }
  if (warmth.empty()) return "Held at its usual voltage it does not trip within 5 min.";
  const auto percent = [&](double count) {
    const double value = 100 * count / static_cast<double>(story.size());
    return value <= 0  ? std::string("none")
           : value < 1 ? std::string("under 1 %")
                       : fmt::format("{:.0f} %", value);
  };
  const std::string use =
      readings_.used
          ? fmt::format("About {} throw{} ({} s on, {} s rest) without a trip in between would leave",
                        *readings_.used, *readings_.used == 1 ? "" : "s", exact_text(readings_.on_s),
                        exact_text(readings_.gap_s))
          : std::string("A trip leaves");
  std::string text =
      fmt::format("{} its thermistor at {:.0f} °C ({:.0f} to {:.0f} °C) when the power goes off", use,
                  quantile(warmth, 0.5), quantile(warmth, 0.1), quantile(warmth, 0.9));
  if (regains.empty() && readings_.used) {
    text += "; such use stops none of these actuators";
  } else if (regains.size() < story.size()) {
    text += readings_.used
                ? fmt::format(
                      "; such use stops {} of all such actuators, more of those that somebody then looks at",
                      percent(regains.size()))
                : fmt::format("; {} of these actuators trip within 5 min at all", percent(regains.size()));
  }
  if (!regains.empty()) {
    const double low = quantile(regains, 0.1), high = quantile(regains, 0.9);
    text += wait_text(low) == wait_text(high)
                ? fmt::format("; from that moment it takes {} until it moves again", wait_text(high))
                : fmt::format("; from that moment it takes {} to {} until it moves again", wait_text(low),
                              wait_text(high));
    if (readings_.idle_min) {
      const std::string rest = *readings_.idle_min > 0
                                   ? wait_text(60 * *readings_.idle_min) + " later"
                                   : std::string("within the seconds that a reading takes");
      text += fmt::format(" ({}: {} of all still wait)", rest, percent(still));
    }
  }
  text.push_back('.');
  return text;
}

std::string TriageTexts::why(State state) const {
  const std::size_t s = index_of(state);
  if (prior_[s] <= 0) return "It has two wires: no end switch.";
  constexpr double speaks = 1.25;  // times what all states together make of it
  std::vector<std::string> good, bad;
  for (const auto& evidence : evidence_) {
    double usual = 0;
    for (std::size_t k = 0; k < state_count; ++k) usual += prior_[k] * evidence.likelihood[k];
    const double ratio = evidence.likelihood[s] / usual;
    if (ratio <= speaks && ratio >= 1 / speaks) continue;
    const std::string said = phrase(evidence, state, ratio > speaks);
    if (!said.empty()) (ratio > speaks ? good : bad).push_back(said);
  }
  std::string text;
  const auto add = [&text](const std::string& sentence) {
    if (sentence.empty()) return;
    if (!text.empty()) text.push_back(' ');
    text += sentence;
  };
  if (state == State::waiting) add(thermistor_sentence());
  if (!good.empty()) add(fmt::format("For it: {}.", fmt::join(good, "; ")));
  if (!bad.empty()) add(fmt::format("Against it: {}.", fmt::join(bad, "; ")));
  if (text.empty()) text = "Nothing that was read speaks for it or against it.";
  return text;
}

std::vector<std::string> TriageTexts::remarks(bool power_off) const {
  std::vector<std::string> lines;
  if (power_off) {
    lines.push_back(
        "It may be shorted: do not put power on it again before that is found. Look at its fuse; a blown one "
        "is "
        "replaced by the same rating only, never by more.");
  }
  const double most_V = supply_edges_V()[4] * likelihoods_.nominal_V() / 12.6;
  if (readings_.supply_V && *readings_.supply_V >= most_V) {
    lines.push_back(
        fmt::format("{} V is more than it should ever get ({} V) and speaks for none of these: look at what "
                    "charges or feeds "
                    "it, and whether the part is the right one.",
                    exact_text(*readings_.supply_V), volts(supply_edges_V()[4], likelihoods_.nominal_V())));
  }
  if (readings_.used == 0 && readings_.idle_min && *readings_.idle_min < 1) {
    lines.push_back("Used just now, but with no throws before: one of the two is not as told.");
  }
  if (readings_.leads_ohm && readings_.meter_ohm && *readings_.leads_ohm < *readings_.meter_ohm) {
    lines.push_back(
        "Across the leads it reads less than across the meter's own: as good as nothing, by how the "
        "probes touch.");
  }
  bool any = false;
  for (const Reading reading : all_readings) any = any || is_given(reading, readings_);
  if (!any) lines.push_back("Nothing was read: these are the chances that triage starts from.");
  if (readings_.leads_ohm && std::isfinite(*readings_.leads_ohm)) {
    if (!readings_.meter_ohm) {
      lines.push_back(fmt::format("The meter's own leads were not read: taken as {} to {} Ω.",
                                  exact_text(least_meter_ohm), exact_text(most_meter_ohm)));
    }
    lines.push_back(
        "A meter's small test current says little about brushes: a film there can add ohms, even a few tens "
        "of ohms, that the motor's own current breaks through.");
  }
  if (!readings_.used && (readings_.idle_min || readings_.current_A ||
                          (readings_.leads_ohm && std::isfinite(*readings_.leads_ohm)))) {
    lines.push_back(
        "The throws before were not given: one that waits is taken to have been held until it tripped.");
  }
  if (!readings_.ambient_C) {
    lines.push_back(fmt::format("The air's temperature was not given: taken as {} to {} °C.",
                                exact_text(least_ambient_C), exact_text(most_ambient_C)));
  }
  if (likelihoods_.nominal_V() != 12.6) {
    lines.push_back(fmt::format(
        "By its stall current this is an actuator for {} V vehicles: voltages are judged by that.",
        likelihoods_.nominal_V() > 12.6 ? 24 : 6));
  }
  return lines;
}

}  // namespace latchwright::bench
