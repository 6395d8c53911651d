// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/cure.h"

#include <algorithm>
#include <atomic>
#include <deque>

#include "base/failure.h"
#include "base/worker_pool.h"
#include "verdict/cure_ways.h"

namespace latchwright::verdict {

Ways ways_of(const Retry& retry) {
  const CheckRow& row = retry.row();
  const auto branch = [&] { return Way{[&retry, d = *row.door] { return thicker_branch(retry, d); }}; };
  const auto feed = [&] { return Way{[&retry] { return thicker_feed(retry); }}; };
  const auto actuator = [&] { return Way{[&retry, d = *row.door] { return other_actuator(retry, d); }}; };
  switch (row.id) {
    case CheckId::stroke:
      return {actuator(), {[&retry, d = *row.door] { return longer_travel(retry, d); }, {0}}};
    case CheckId::force:
      return {branch(), feed(), actuator(), {[&retry, d = *row.door] { return weaker_rod(retry, d); }}};
    case CheckId::throw_time:
      return throw_time_ways(retry);
    case CheckId::lockout:
      return lockout_ways(retry);
    case CheckId::winding:
      return winding_ways(retry);
    case CheckId::winding_fault:
    case CheckId::ptc_rating:
      return {actuator()};
    case CheckId::volt_drop:
      return {branch(), feed(), {[&retry, d = *row.door] { return shorter_run(retry, d); }, {0, 1}}};
    case CheckId::wire_heat:
      return row.door ? Ways{branch(), actuator()} : Ways{feed()};
    case CheckId::fuse_load:
    case CheckId::fuse_carry:
      return fuse_duty_ways(retry);
    case CheckId::fuse_clear:
      return fuse_clear_ways(retry);
    case CheckId::fuse_guard:
      return fuse_guard_ways(retry);
    case CheckId::relay:
      return {{[&retry] { return larger_relay(retry); }}};
  }
  return {};
}

std::optional<Change> find_cure(const CheckRow& row, const Findings& findings) {
  const Retry retry(row, findings);
  for (const Way& way : ways_of(retry)) {
    if (Found found = way.find()) return found;
  }
  return std::nullopt;
}

std::vector<Change> find_cures(const CheckRow& row, const Findings& findings) {
  return find_cures(std::vector<const CheckRow*>{&row}, findings, 1).front();
}

std::vector<std::vector<Change>> find_cures(const std::vector<const CheckRow*>& rows,
                                            const Findings& findings, unsigned workers) {
  struct Search {
    Search(const CheckRow& row, const Findings& in)
        : retry(row, in), ways(ways_of(retry)), found(ways.size()) {}
    Retry retry;
    Ways ways;
    std::vector<Found> found;
  };
  std::deque<Search> searches;  // ways refer to their own retry: it must not move
  for (const CheckRow* row : rows) searches.emplace_back(*row, findings);

  struct Task {
    Search* search;
    std::size_t way;
  };
  std::size_t all = 0;
  for (const Search& search : searches) all += search.ways.size();
  std::atomic<std::size_t> done{0};
  const auto run = [&](const std::vector<Task>& tasks) {
    base::for_each_index(tasks.size(), workers, [&](std::size_t n) {
      if (findings.progress().cancelled()) throw base::Cancelled();
      const auto [search, way] = tasks[n];
      search->found[way] = search->ways[way].find();
      findings.progress().report(static_cast<double>(++done) / static_cast<double>(all), "looking for cures");
    });
  };
  std::vector<Task> first, last_resorts;
  for (Search& search : searches) {
    for (std::size_t k = 0; k < search.ways.size(); ++k) {
      if (search.ways[k].unless.empty()) first.push_back({&search, k});
    }
  }
  run(first);
  for (Search& search : searches) {
    for (std::size_t k = 0; k < search.ways.size(); ++k) {
      const auto& unless = search.ways[k].unless;
      const bool other_way = std::any_of(unless.begin(), unless.end(),
                                         [&](std::size_t w) { return search.found[w].has_value(); });
      if (!unless.empty() && !other_way) last_resorts.push_back({&search, k});
    }
  }
  run(last_resorts);

  std::vector<std::vector<Change>> cures;
  for (const Search& search : searches) {
    std::vector<Change>& of_row = cures.emplace_back();
    for (const Found& found : search.found) {
      if (found) of_row.push_back(*found);
    }
  }
  return cures;
}

}  // namespace latchwright::verdict
