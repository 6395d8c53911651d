// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/map_report.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>

#include "base/text.h"
#include "report/check_report.h"

namespace latchwright::report {

using base::exact_text;
using model::Raw;
using spread::LockoutMap;
using spread::MapAxis;

namespace {

constexpr double same = 1e-9;

bool over_gap(const LockoutMap& map) { return map.plan.over == MapAxis::gap; }
/// The job's own rest or pulse.
double own_s(const LockoutMap& map) { return over_gap(map) ? map.plan.gap_s : map.plan.on_s; }
std::string axis_seconds(double value_s) { return exact_text(value_s) + " s"; }
std::string degrees(double ambient_C) { return exact_text(ambient_C) + " °C"; }
std::string cycles_words(int cycles) {
  return fmt::format("{} {}", cycles, cycles == 1 ? "cycle" : "cycles");
}

std::string count_text(const LockoutMap& map, int cycles) {
  std::string text = std::to_string(cycles);
  if (cycles >= map.most) text.push_back('+');
  return text;
}

std::string safe_text(const LockoutMap& map, const SafeAt& safe) {
  switch (safe.kind) {
    case SafeAt::Kind::edge:
      return axis_seconds(safe.value_s);
    case SafeAt::Kind::always:
      if (!over_gap(map)) return axis_seconds(map.plan.to_s) + " or more";
      return map.plan.from_s > 0 ? axis_seconds(map.plan.from_s) + " or less" : std::string("none needed");
    case SafeAt::Kind::never:
      break;
  }
  return over_gap(map) ? "more than " + axis_seconds(map.plan.to_s) : std::string("none does");
}

/// At one ambient: what to set for the wanted cycles.
std::string advice(const LockoutMap& map, std::size_t ambient) {
  const std::string at = "At " + degrees(map.ambient_C[ambient]), wanted = cycles_words(map.plan.cycles);
  const SafeAt safe = safe_at(map, ambient);
  if (over_gap(map)) {
    if (safe.kind == SafeAt::Kind::edge) {
      return fmt::format("{} leave {} between pulses for {}.", at, axis_seconds(safe.value_s), wanted);
    }
    if (safe.kind == SafeAt::Kind::never) {
      return fmt::format("{} no rest up to {} gives {}.", at, axis_seconds(map.plan.to_s), wanted);
    }
    return map.plan.from_s > 0
               ? fmt::format("{} a rest of {} is enough for {}.", at, axis_seconds(map.plan.from_s), wanted)
               : fmt::format("{} no rest is needed for {}.", at, wanted);
  }
  if (safe.kind == SafeAt::Kind::edge) {
    // The first of the counted pulses beside the boundary that gives them: too short a one misses the throw.
    const auto& row = map.cycles_done[ambient];
    std::size_t first = row.size();
    while (first > 0 && row[first - 1] < map.plan.cycles) --first;
    if (first == 0) {
      return fmt::format("{} only pulses near {} give {}, and none longer.", at, axis_seconds(safe.value_s),
                         wanted);
    }
    while (first > 0 && row[first - 1] >= map.plan.cycles) --first;
    return fmt::format("{} keep the pulse between {} and {} for {}.", at, axis_seconds(map.values_s[first]),
                       axis_seconds(safe.value_s), wanted);
  }
  if (safe.kind == SafeAt::Kind::never) {
    return fmt::format("{} no pulse from {} to {} gives {}.", at, axis_seconds(map.plan.from_s),
                       axis_seconds(map.plan.to_s), wanted);
  }
  return fmt::format("{} a pulse of {} is not too long for {}.", at, axis_seconds(map.plan.to_s), wanted);
}

/// Where the job's own rest or pulse does; empty where it was not counted.
std::string own_advice(const LockoutMap& map) {
  const auto own = std::find_if(map.values_s.begin(), map.values_s.end(),
                                [&](double value) { return std::abs(value - own_s(map)) < same; });
  if (own == map.values_s.end()) return {};
  const auto column = static_cast<std::size_t>(own - map.values_s.begin());
  std::vector<std::size_t> good;
  for (std::size_t k = 0; k < map.ambient_C.size(); ++k) {
    if (map.cycles_done[k][column] >= map.plan.cycles) good.push_back(k);
  }
  const std::string subject =
      fmt::format("The job's {} of {}", over_gap(map) ? "rest" : "pulse", axis_seconds(*own));
  const std::string wanted = cycles_words(map.plan.cycles);
  if (good.empty()) return fmt::format("{} gives {} at no ambient that was counted.", subject, wanted);
  if (good.size() == map.ambient_C.size()) {
    return fmt::format("{} gives {} at every ambient that was counted, {} to {}.", subject, wanted,
                       degrees(map.ambient_C.front()), degrees(map.ambient_C.back()));
  }
  const std::string first = degrees(map.ambient_C[good.front()]), last = degrees(map.ambient_C[good.back()]);
  if (good.size() == 1) return fmt::format("{} gives {} only at {}, as counted.", subject, wanted, first);
  if (good.back() - good.front() + 1 == good.size()) {
    std::string not_at;
    if (good.back() + 1 < map.ambient_C.size())
      not_at = degrees(map.ambient_C[good.back() + 1]) + " and above";
    if (good.front() > 0) {
      const std::string below = degrees(map.ambient_C[good.front() - 1]) + " and below";
      not_at = not_at.empty() ? below : below + " or " + not_at;
    }
    return fmt::format("{} gives {} from {} to {}, and not at {}, as counted.", subject, wanted, first, last,
                       not_at);
  }
  return fmt::format("{} gives {} at {} of the {} ambients that were counted, between {} and {}.", subject,
                     wanted, good.size(), map.ambient_C.size(), first, last);
}

/// So many of the values, evenly by their order, both ends and the job's own among them.
std::vector<std::size_t> thinned(const LockoutMap& map, std::size_t count) {
  const std::size_t size = map.values_s.size();
  std::vector<std::size_t> kept;
  if (count >= size) {
    for (std::size_t j = 0; j < size; ++j) kept.push_back(j);
    return kept;
  }
  for (std::size_t n = 0; n < count; ++n) kept.push_back(count > 1 ? n * (size - 1) / (count - 1) : 0);
  const auto own = std::find_if(map.values_s.begin(), map.values_s.end(),
                                [&](double value) { return std::abs(value - own_s(map)) < same; });
  const auto own_place = static_cast<std::size_t>(own - map.values_s.begin());
  if (own == map.values_s.end() || std::count(kept.begin(), kept.end(), own_place) > 0 || count < 3)
    return kept;
  // In place of its nearest neighbour that is no end.
  const auto away = [&](std::size_t j) { return j > own_place ? j - own_place : own_place - j; };
  *std::min_element(kept.begin() + 1, kept.end() - 1,
                    [&](std::size_t a, std::size_t b) { return away(a) < away(b); }) = own_place;
  return kept;
}

std::string table_of(const LockoutMap& map, const std::vector<std::size_t>& columns) {
  using Align = TextTable::Align;
  std::vector<TextTable::Column> titles{{"ambient", Align::right}};
  for (const std::size_t j : columns) titles.push_back({axis_seconds(map.values_s[j]), Align::right});
  titles.push_back({over_gap(map) ? "leave at least" : "pulse at most", Align::right});
  TextTable table(std::move(titles));
  for (std::size_t k = 0; k < map.ambient_C.size(); ++k) {
    std::vector<std::string> cells{degrees(map.ambient_C[k])};
    for (const std::size_t j : columns) cells.push_back(count_text(map, map.cycles_done[k][j]));
    cells.push_back(safe_text(map, safe_at(map, k)));
    table.add(std::move(cells));
  }
  return table.text();
}

/// With as many columns as the page is wide.
std::string fitting_table(const LockoutMap& map) {
  constexpr std::size_t page = 100, least = 3;
  std::string table;
  for (std::size_t count = map.values_s.size(); count >= std::min(least, map.values_s.size()); --count) {
    table = table_of(map, thinned(map, count));
    if (base::column_width(table.substr(0, table.find('\n'))) <= page) break;
  }
  return table;
}

}  // namespace

SafeAt safe_at(const LockoutMap& map, std::size_t ambient) {
  for (const auto& point : map.boundary) {
    if (point.ambient_C == map.ambient_C[ambient]) return {SafeAt::Kind::edge, point.value_s};
  }
  if (map.cycles_done[ambient].back() < map.plan.cycles) return {};
  return {SafeAt::Kind::always, over_gap(map) ? map.plan.from_s : map.plan.to_s};
}

Raw map_json(const LockoutMap& map) {
  const auto& plan = map.plan;
  const char* const axis = over_gap(map) ? "gap_s" : "on_s";
  Raw::Object settings{{"voltage_V", Raw(plan.voltage_V)},
                       {"from_ambient_C", Raw(plan.ambient_from_C)},
                       {"to_ambient_C", Raw(plan.ambient_to_C)},
                       {"from_s", Raw(plan.from_s)},
                       {"to_s", Raw(plan.to_s)},
                       {over_gap(map) ? "on_s" : "gap_s", Raw(over_gap(map) ? plan.on_s : plan.gap_s)},
                       {"cycles", Raw(plan.cycles)},
                       {"counted_to", Raw(map.most)},
                       {"after_trip", Raw(true)}};
  Raw::Object result = result_head("map", std::nullopt, std::move(settings));
  result.emplace_back("ambient_C", Raw(Raw::List(map.ambient_C.begin(), map.ambient_C.end())));
  result.emplace_back("axis", Raw(axis));
  result.emplace_back("values", Raw(Raw::List(map.values_s.begin(), map.values_s.end())));
  Raw::List rows;
  for (const auto& row : map.cycles_done) rows.emplace_back(Raw::List(row.begin(), row.end()));
  result.emplace_back("cycles_done", Raw(std::move(rows)));
  Raw::List boundary;
  for (const auto& point : map.boundary) {
    boundary.emplace_back(Raw::Object{{"ambient_C", Raw(point.ambient_C)}, {"value", Raw(point.value_s)}});
  }
  result.emplace_back("boundary", Raw(std::move(boundary)));
  return Raw(std::move(result));
}

std::string map_csv(const LockoutMap& map) {
  std::string out = over_gap(map) ? "ambient_C,gap_s,cycles_done\n" : "ambient_C,on_s,cycles_done\n";
  for (std::size_t k = 0; k < map.ambient_C.size(); ++k) {
    for (std::size_t j = 0; j < map.values_s.size(); ++j) {
      fmt::format_to(std::back_inserter(out), "{},{},{}\n", exact_text(map.ambient_C[k]),
                     exact_text(map.values_s[j]), map.cycles_done[k][j]);
    }
  }
  return out;
}

std::vector<std::string> map_sentences(const model::Study& study, const LockoutMap& map) {
  std::vector<std::string> lines;
  if (auto own = own_advice(map); !own.empty()) lines.push_back(std::move(own));
  const auto& climate = study.job.climate;
  for (std::size_t k = 0; k < map.ambient_C.size(); ++k) {
    const double T = map.ambient_C[k];
    if (T == climate.usual_C || T == climate.hot_C || k + 1 == map.ambient_C.size()) {
      lines.push_back(advice(map, k));
    }
  }
  return lines;
}

std::string map_text(const model::Study& study, const LockoutMap& map, const Style&) {
  const auto& plan = map.plan;
  std::string out =
      wrapped(fmt::format("{}: whole cycles in a row before a throw is missed, {} to {}",
                          study.job.title.empty() ? "Job" : base::printable(study.job.title, 200),
                          degrees(plan.ambient_from_C), degrees(plan.ambient_to_C)),
              0);
  out += wrapped(
      fmt::format("{} V, {}; thermistors have tripped before; {}. A cycle is lock plus unlock; {} means that "
                  "or more.",
                  exact_text(plan.voltage_V),
                  over_gap(map) ? fmt::format("pulse {}, rests between pulses across", axis_seconds(plan.on_s))
                                : fmt::format("rest {}, pulses across", axis_seconds(plan.gap_s)),
                  study.doors.size() > 1 ? "the worse of all doors together and each door alone"
                                         : "as the check counts",
                  count_text(map, map.most)),
      0);
  out += '\n' + fitting_table(map) + '\n';
  for (const auto& line : map_sentences(study, map)) out += wrapped(line, 0);
  if (uses_invented_parts(study)) out += "\nExample parts: measure yours before promising this.\n";
  return out;
}

}  // namespace latchwright::report
