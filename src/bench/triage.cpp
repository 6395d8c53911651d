// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/triage.h"

#include <algorithm>
#include <cmath>

#include "base/failure.h"
#include "bench/next_reading.h"
#include "bench/triage_texts.h"
#include "bench/weighted.h"

namespace latchwright::bench {

namespace {

/// From this chance on of one state no trial is named that would part it from others.
constexpr double plain_enough = 0.9;

/// Members that tell how many wait in the usual air, where another was told: a mean of all only.
constexpr int usual_count = 32;

/// From this chance on a wait is told.
constexpr double worth_a_wait = 0.05;

/// Over tolerances, what was not read and what was told, of those that wait and agree with what was read.
Wait wait_of(const Likelihoods& likelihoods, const Readings& readings) {
  // Where nothing tells how much of its rest is over, none of it is counted.
  const bool known = readings.idle_min || (readings.leads_ohm && std::isfinite(*readings.leads_ohm));
  Weighted left;
  for (const auto& sample : likelihoods.samples(State::waiting, readings)) {
    left.emplace_back(known ? sample.left_s : sample.rest_s, likelihoods.figures_of(sample, readings).all);
  }
  return {quantile(left, 0.5), quantile(left, 0.1), quantile(left, 0.95), !known};
}

/// Whether to tell how long to wait: something points to it, and nobody has waited yet.
bool tells_wait(const PerState& now, const Readings& readings) {
  bool read = false;
  for (const Reading reading : all_readings) {
    if (reading != Reading::meter && reading != Reading::supply) read = read || is_given(reading, readings);
  }
  return read && !readings.frees && readings.moves != Moves::both &&
         now[index_of(State::waiting)] >= worth_a_wait;
}

}  // namespace

const char* id_of(State state) {
  switch (state) {
    case State::sound:
      return "sound";
    case State::waiting:
      return "waiting";
    case State::open:
      return "open";
    case State::shorted:
      return "shorted";
    case State::seized:
      return "seized";
    case State::worn:
      return "worn";
    case State::supply:
      return "supply";
    case State::end_switch:
      return "end_switch";
  }
  return "";
}

Triage triage(const model::Actuator& actuator, const model::PtcCurve& curve, const Readings& readings,
              base::Progress& progress) {
  if (progress.cancelled()) throw base::Cancelled();
  const double nominal_V = nominal_voltage(actuator);
  // What it was used with; a fault of the supply may have come since.
  const double use_V =
      readings.supply_V && *readings.supply_V >= 0.7 * nominal_V ? *readings.supply_V : nominal_V;
  const std::vector<Member> members = make_members(actuator, curve, readings, use_V);
  WaitingActuator waiting(members, readings.on_s, readings.gap_s, progress);
  // How many wait at all is of the usual air, not of the one that was told.
  std::vector<Member> usual_members;
  std::optional<WaitingActuator> usual;
  if (readings.ambient_C) {
    Readings any = readings;
    any.ambient_C.reset();
    usual_members = make_members(actuator, curve, any, use_V, usual_count);
    usual.emplace(usual_members, readings.on_s, readings.gap_s, progress);
  }
  const Likelihoods likelihoods(members, waiting, nominal_V, usual ? &*usual : nullptr);

  const PerState prior = priors(actuator.wires);
  PerState likelihood{};
  for (const State state : all_states) {
    if (prior[index_of(state)] > 0) likelihood[index_of(state)] = likelihoods.of(state, readings);
  }
  const PerState now = posterior(prior, likelihood);

  Triage result;
  const TriageTexts texts(likelihoods, prior, readings);
  for (const State state : all_states)
    result.states.push_back({state, now[index_of(state)], texts.why(state)});
  std::stable_sort(result.states.begin(), result.states.end(),
                   [](const StateRow& a, const StateRow& b) { return a.likelihood > b.likelihood; });
  const auto again = texts.read_again(now);
  const bool power_off = now[index_of(State::shorted)] >= too_likely_short || (again && again->power_off);
  if (!power_off && tells_wait(now, readings)) result.wait = wait_of(likelihoods, readings);
  if (again) {
    result.next = NextReading{id_of(again->reading), again->why, 0};
  } else if (const auto choice = choose_next(likelihoods, prior, now, readings)) {
    result.next = NextReading{id_of(choice->reading), texts.why_next(*choice, now), choice->bits};
  }
  const State first = result.states.front().state;
  const bool plain = result.states.front().likelihood > plain_enough;
  if (!result.next && now[index_of(State::shorted)] >= too_likely_short) {
    if (!plain) result.settles = "Keep the power off it, take it out and look.";
  } else if (!result.next && (!plain || first == State::seized)) {
    result.settles = settling(plain ? std::vector<State>{first} : leading(now));
  }
  result.remarks = texts.remarks(power_off);
  // The state is the lock's and the rod's as well: the trial that saves a good actuator is always told.
  if (first == State::seized && result.settles.find(by_hand()) == std::string::npos) {
    std::string trial = by_hand();
    trial.front() = 'b';
    result.remarks.push_back("Before you replace it as seized: " + trial);
  }
  if (progress.cancelled()) throw base::Cancelled();
  progress.report(1, "done");
  return result;
}

}  // namespace latchwright::bench
