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

void sort_by_promise(std::vector<Assignment>& all) {
  std::stable_sort(all.begin(), all.end(), [](const Assignment& a, const Assignment& b) {
    if (a.sunk != b.sunk) return b.sunk;
    const auto steps_a = steps(a.expected), steps_b = steps(b.expected);
    return steps_a != steps_b ? steps_a > steps_b : a.kinds < b.kinds;
  });
}

}  // namespace

Assignments::Assignments(const std::vector<std::vector<Screened>>& groups) : groups_(groups) {
  if (groups.empty()) {
    all_.push_back({});
    return;
  }
  std::set<std::vector<std::size_t>> choices;
  for (const auto& group : groups) orders_.push_back(in_order(group));
  // The same for all: groups list the same candidates in the same order.
  for (const std::size_t k : orders_.front()) {
    const bool for_all = std::all_of(orders_.begin(), orders_.end(), [&](const auto& order) {
      return std::find(order.begin(), order.end(), k) != order.end();
    });
    if (for_all) choices.insert(std::vector<std::size_t>(groups.size(), k));
  }
  // The best of every group, and what draws the least in every group: doors share feed, fuse and relay.
  std::vector<std::size_t> best, least;
  for (std::size_t g = 0; g < groups.size(); ++g) {
    best.push_back(orders_[g].front());
    least.push_back(*std::min_element(
        orders_[g].begin(), orders_[g].end(),
        [&](std::size_t a, std::size_t b) { return groups[g][a].stall_A < groups[g][b].stall_A; }));
  }
  choices.insert(best);
  choices.insert(least);
  for (const auto& choice : choices) all_.push_back(make(groups, choice));
  for (const Assignment& near : around(make(groups, best))) {
    if (choices.insert(near.choice).second) all_.push_back(near);
  }
  sort_by_promise(all_);
  // What draws the least goes second: where the doors together ask too much of what they share, it may be all
  // that passes.
  const auto gentle =
      std::find_if(all_.begin() + 1, all_.end(), [&](const Assignment& a) { return a.choice == least; });
  if (gentle != all_.end()) std::rotate(all_.begin() + 1, gentle, gentle + 1);
}

std::vector<Assignment> Assignments::around(const Assignment& centre) const {
  std::vector<Assignment> found;
  for (std::size_t g = 0; g < orders_.size(); ++g) {
    for (std::size_t n = 0; n < std::min(orders_[g].size(), most_combined); ++n) {
      auto choice = centre.choice;
      choice[g] = orders_[g][n];
      if (choice != centre.choice) found.push_back(make(groups_, choice));
    }
  }
  sort_by_promise(found);
  return found;
}

}  // namespace latchwright::choose
