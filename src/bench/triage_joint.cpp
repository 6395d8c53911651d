// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include "base/infinity.h"
#include "base/text.h"
#include "bench/reading_error.h"
#include "bench/triage_likelihood.h"

// A reading that is still to be made: states against what it may show.
namespace latchwright::bench {

namespace {

using base::infinity;

// Chance that less than so much is shown.
double lead_below(const Sample& s, double ohm) { return ohmmeter.chance_below(ohm, s.lead_ohm); }
double current_below(const Sample& s, double amps) { return clamp.chance_below(amps, s.current_A); }
double supply_below(const Sample& s, double volts) { return s.supply_V < volts; }
double meter_below(const Sample& s, double ohm) { return s.meter_ohm < ohm; }

/// Whether what is told of its last use changes what a state would show.
bool has_story(State state) {
  return state == State::sound || state == State::waiting || state == State::supply ||
         state == State::end_switch;
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
  // What words do not change is summed up once.
  PerState figures_so_far{};
  if (reading != Reading::leads && reading != Reading::meter && reading != Reading::current) {
    for (const State state : all_states) {
      const std::size_t s = index_of(state);
      if (prior[s] > 0) figures_so_far[s] = figures(state, readings).all;
    }
  }
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
  const auto add_words = [&](const std::string& outcome, const auto& change) {
    Readings with = readings;
    change(with);
    add(outcome, [&](State state) { return figures_so_far[index_of(state)] * words_chance(state, with); });
  };
  const auto with_story = [&](State state, const Readings& with) {
    return has_story(state) ? of(state, with) : figures_so_far[index_of(state)] * words_chance(state, with);
  };
  // Figures: how much of every sample falls between two edges.
  const auto add_figures = [&](const std::vector<double>& edge, auto below) {
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
      const auto all = samples(state, readings);
      const Wrong wrong = wrong_of(readings);
      std::vector<double> weights;
      double most = 0;
      for (const auto& sample : all) {
        weights.push_back(figures_of(sample, readings, wrong).all);
        most = std::max(most, weights.back());
      }
      constexpr double hardly = 1e-6;
      for (std::size_t k = 0; k < all.size(); ++k) {
        if (weights[k] < hardly * most) continue;
        double before = below(all[k], edge.front());
        for (std::size_t b = 0; b + 1 < edge.size(); ++b) {
          const double until = below(all[k], edge[b + 1]);
          joint.chances[b][s] += words * weights[k] * (until - before);
          before = until;
        }
      }
    }
  };
  switch (reading) {
    case Reading::moves:
      add_words("that it moves both ways", [](Readings& r) { r.moves = Moves::both; });
      add_words("that it moves one way only", [](Readings& r) { r.moves = Moves::one; });
      add_words("that it moves neither way", [](Readings& r) { r.moves = Moves::neither; });
      break;
    case Reading::frees:
      add_words("that it moves again", [](Readings& r) { r.frees = true; });
      add_words("that it does not", [](Readings& r) { r.frees = false; });
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
            if (prior[s] > 0) chances[s] += prior[s] * node.chance * with_story(state, with);
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
        Readings with = readings;
        with.used = bin.stands_for;
        add(std::to_string(bin.from) + " to " + std::to_string(bin.to),
            [&](State state) { return bin.chance * with_story(state, with); });
      }
      break;
    }
    case Reading::leads:
      add_figures(edges(0.2, 1e5, 1.25), lead_below);
      add("open line", [&](State state) {
        Readings with = readings;
        with.leads_ohm = infinity;
        return of(state, with);
      });
      joint.low.push_back(infinity);
      joint.high.push_back(infinity);
      break;
    case Reading::meter:
      add_figures({0, 0.2, 0.3, 0.4, infinity}, meter_below);
      break;
    case Reading::current:
      add_figures(edges(0.05, 60, 1.25), current_below);
      break;
    case Reading::supply:
      if (readings.current_A) {
        // What current fits depends on the voltage, so each sample has its own.
        std::vector<double> edge;
        for (const double volts : supply_edges_V()) edge.push_back(volts * nominal_V_ / 12.6);
        edge.back() = infinity;
        add_figures(edge, supply_below);
      } else {
        for (std::size_t b = 0; b < supply_bands; ++b) {
          const double low = supply_edges_V()[b] * nominal_V_ / 12.6;
          const double high = supply_edges_V()[b + 1] * nominal_V_ / 12.6;
          joint.low.push_back(low);
          joint.high.push_back(b + 1 < supply_bands ? high : infinity);
          add("", [&](State state) {
            return figures_so_far[index_of(state)] * words_chance(state, readings) *
                   supply_chance_of(state, b, readings);
          });
        }
      }
      break;
  }
  return joint;
}

}  // namespace latchwright::bench
