// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/triage.h"

#include <algorithm>

#include "base/failure.h"
#include "bench/next_reading.h"
#include "bench/triage_texts.h"
#include "bench/weighted.h"

namespace latchwright::bench {

namespace {

/// Below this a state counts as ruled out.
constexpr double remains = 0.01;

/// Over tolerances and what was not read, from the moment of reading.
Wait wait_of(const Likelihoods& likelihoods, const Readings& readings) {
  Weighted left;
  for (const auto& sample : likelihoods.samples(State::waiting, readings)) {
    // With a known rest the wait is what the model leaves of it; without, the actuator is one that still
    // waits.
    const double weight = readings.idle_min ? sample.plain_weight : sample.left_s > 0 ? sample.weight : 0;
    left.emplace_back(std::max(0.0, sample.left_s), weight * figures_density(sample, readings));
  }
  return {quantile(left, 0.5), quantile(left, 0.1), quantile(left, 0.9)};
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
  const Likelihoods likelihoods(members, waiting, nominal_V);

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
  if (now[index_of(State::waiting)] >= remains) result.wait = wait_of(likelihoods, readings);
  if (const auto choice = choose_next(likelihoods, prior, now, readings)) {
    result.next = NextReading{id_of(choice->reading), texts.why_next(*choice, now), choice->bits};
  }
  result.remarks = texts.remarks();
  if (progress.cancelled()) throw base::Cancelled();
  progress.report(1, "done");
  return result;
}

}  // namespace latchwright::bench
