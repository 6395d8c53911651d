// SPDX-License-Identifier: GPL-3.0-or-later
#include "choose/assignments.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace latchwright::choose {

namespace {

constexpr std::size_t most_combined = 6;  // candidates of a group that are combined with other groups'

/// Margins in steps of a two-hundredth: what differs by less is as good.
std::vector<double> steps(const std::vector<double>& margins) {
  std::vector<double> result;
  for (const double m : margins) result.push_back(std::floor(200 * std::log(std::max(m, 1e-9))));
  return result;
}

/// Candidates of a group, the most promising first; those that are sunk only where nothing else is left.
std::vector<std::size_t> in_order(const std::vector<Screened>& group) {
  std::vector<std::size_t> order;
  for (std::size_t k = 0; k < group.size(); ++k) {
    if (!group[k].sunk_by) order.push_back(k);
  }
  if (!order.empty()) {
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      return steps(group[a].expected_margins) > steps(group[b].expected_margins);
    });
    return order;
  }
  for (std::size_t k = 0; k < group.size(); ++k) order.push_back(k);
  // Sunk by a later look, and there by less, is nearer.
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    const auto& row_a = *group[a].sunk_by;
    const auto& row_b = *group[b].sunk_by;
    if (row_a.id != row_b.id) return row_a.id > row_b.id;
    return row_a.margin.value_or(0) > row_b.margin.value_or(0);
  });
  order.resize(std::min(order.size(), most_combined));
  return order;
}

Assignment make(const std::vector<std::vector<Screened>>& groups, const std::vector<std::size_t>& choice) {
  Assignment made;
  made.choice = choice;
  std::set<std::string> kinds;
  for (std::size_t g = 0; g < groups.size(); ++g) {
    const Screened& candidate = groups[g][choice[g]];
    kinds.insert(candidate.actuator->id);
    made.sunk = made.sunk || candidate.sunk_by;
    made.best.insert(made.best.end(), candidate.best_margins.begin(), candidate.best_margins.end());
    made.expected.insert(made.expected.end(), candidate.expected_margins.begin(),
                         candidate.expected_margins.end());
  }
  std::sort(made.best.begin(), made.best.end());
  std::sort(made.expected.begin(), made.expected.end());
  made.kinds = kinds.size();
  return made;
}

}  // namespace

Assignments::Assignments(const std::vector<std::vector<Screened>>& groups) {
  if (groups.empty()) {
    all_.push_back({});
    return;
  }
  std::set<std::vector<std::size_t>> choices;
  std::vector<std::vector<std::size_t>> orders;
  for (const auto& group : groups) orders.push_back(in_order(group));
  // The same for all: groups list the same candidates in the same order.
  for (const std::size_t k : orders.front()) {
    const bool for_all = std::all_of(orders.begin(), orders.end(), [&](const auto& order) {
      return std::find(order.begin(), order.end(), k) != order.end();
    });
    if (for_all) choices.insert(std::vector<std::size_t>(groups.size(), k));
  }
  // The best of every group, and one group after the other with its next best.
  std::vector<std::size_t> best;
  for (const auto& order : orders) best.push_back(order.front());
  choices.insert(best);
  for (std::size_t g = 0; g < groups.size(); ++g) {
    for (std::size_t n = 1; n < std::min(orders[g].size(), most_combined); ++n) {
      auto choice = best;
      choice[g] = orders[g][n];
      choices.insert(choice);
    }
  }
  for (const auto& choice : choices) all_.push_back(make(groups, choice));
  std::stable_sort(all_.begin(), all_.end(), [](const Assignment& a, const Assignment& b) {
    if (a.sunk != b.sunk) return b.sunk;
    const auto steps_a = steps(a.expected), steps_b = steps(b.expected);
    return steps_a != steps_b ? steps_a > steps_b : a.kinds < b.kinds;
  });
}

}  // namespace latchwright::choose
