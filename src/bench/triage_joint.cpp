// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>
#include <limits>

#include "base/infinity.h"
#include "base/text.h"
#include "bench/reading_error.h"
#include "bench/triage_likelihood.h"

// A reading that is still to be made: states against what it may show.
namespace latchwright::bench {

namespace {

using base::infinity;

double lead_chance(const Sample& s, double low, double high) {
  return ohmmeter.chance(low, high, s.lead_ohm);
}
double current_chance(const Sample& s, double low, double high) {
  return clamp.chance(low, high, s.current_A);
}
double supply_chance(const Sample& s, double low, double high) {
  return s.supply_V >= low && s.supply_V < high;
}
double meter_chance(const Sample& s, double low, double high) {
  return s.meter_ohm >= low && s.meter_ohm < high;
}

/// 0, then even ratios, then infinity.
std::vector<double> edges(double first, double last, double ratio) {
  std::vector<double> made{0};
  for (double edge = first; edge < last; edge *= ratio) made.push_back(edge);
  made.push_back(infinity);
  return made;
}

}  // namespace

Joint Likelihoods::joint(Reading reading, const PerState& prior, const Readings& readings) const {
  Joint joint;
  const auto add = [&](const std::string& outcome, const auto& chance_of) {
    PerState chances{};
    for (const State state : all_states) {
      const std::size_t s = index_of(state);
      if (prior[s] > 0) chances[s] = prior[s] * chance_of(state);
    }
    joint.outcomes.push_back(outcome);
    joint.chances.push_back(chances);
  };
  // Words: the reading added to the others.
  const auto add_with = [&](const std::string& outcome, double chance, const auto& change) {
    Readings with = readings;
    change(with);
    add(outcome, [&](State state) { return chance * of(state, with); });
  };
  // Figures: how much of every sample falls between two edges.
  const auto add_figures = [&](const std::vector<double>& edge, auto chance) {
    for (std::size_t b = 0; b + 1 < edge.size(); ++b) {
      joint.low.push_back(edge[b]);
      joint.high.push_back(edge[b + 1]);
      joint.outcomes.emplace_back();
      joint.chances.push_back({});
    }
    for (const State state : all_states) {
      const std::size_t s = index_of(state);
      if (prior[s] <= 0) continue;
      const double words = prior[s] * words_chance(state, readings) *
                           (reading == Reading::leads ? 1 - open_line_chance(state) : 1.0);
      for (const auto& sample : samples(state, readings)) {
        const double weight = words * sample.weight * figures_density(sample, readings);
        for (std::size_t b = 0; b + 1 < edge.size(); ++b) {
          joint.chances[b][s] += weight * chance(sample, edge[b], edge[b + 1]);
        }
      }
    }
  };
  switch (reading) {
    case Reading::moves:
      add_with("that it moves both ways", 1, [](Readings& r) { r.moves = Moves::both; });
      add_with("that it moves one way only", 1, [](Readings& r) { r.moves = Moves::one; });
      add_with("that it moves neither way", 1, [](Readings& r) { r.moves = Moves::neither; });
      break;
    case Reading::frees:
      add_with("that it moves again", 1, [](Readings& r) { r.frees = true; });
      add_with("that it does not", 1, [](Readings& r) { r.frees = false; });
      break;
    case Reading::idle:
      for (std::size_t b = 0; b < idle_bins().size(); ++b) {
        const auto& bin = idle_bins()[b];
        PerState chances{};
        for (const auto& node : idle_nodes()) {
          if (node.bin != b) continue;
          Readings with = readings;
          with.idle_min = node.minutes;
          for (const State state : all_states) {
            const std::size_t s = index_of(state);
            if (prior[s] > 0) chances[s] += prior[s] * node.chance * of(state, with);
          }
        }
        joint.outcomes.push_back(base::wait_text(60 * bin.from_min) + " to " +
                                 base::wait_text(60 * bin.to_min));
        joint.chances.push_back(chances);
      }
      break;
    case Reading::used: {
      std::vector<int> counts;
      for (const auto& bin : used_bins()) counts.push_back(bin.stands_for);
      waiting_.prepare(counts);
      for (const auto& bin : used_bins()) {
        add_with(std::to_string(bin.from) + " to " + std::to_string(bin.to), bin.chance,
                 [&](Readings& r) { r.used = bin.stands_for; });
      }
      break;
    }
    case Reading::leads:
      add_figures(edges(0.2, 1e5, 1.25), lead_chance);
      add_with("open line", 1, [](Readings& r) { r.leads_ohm = infinity; });
      joint.low.push_back(infinity);
      joint.high.push_back(infinity);
      break;
    case Reading::meter:
      add_figures({0, 0.2, 0.3, 0.4, infinity}, meter_chance);
      break;
    case Reading::current:
      add_figures(edges(0.05, 60, 1.25), current_chance);
      break;
    case Reading::supply:
      if (readings.current_A) {
        // What current fits depends on the voltage, so each sample has its own.
        std::vector<double> edge;
        for (const double volts : supply_edges_V()) edge.push_back(volts * nominal_V_ / 12.6);
        edge.back() = infinity;
        add_figures(edge, supply_chance);
      } else {
        for (std::size_t b = 0; b < supply_bands; ++b) {
          const double low = supply_edges_V()[b] * nominal_V_ / 12.6;
          const double high = supply_edges_V()[b + 1] * nominal_V_ / 12.6;
          joint.low.push_back(low);
          joint.high.push_back(b + 1 < supply_bands ? high : infinity);
          add("", [&](State state) { return of(state, readings) * supply_chance_of(state, b, readings); });
        }
      }
      break;
  }
  return joint;
}

}  // namespace latchwright::bench
