// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "base/text.h"
#include "report/check_report.h"
#include "report/check_words.h"
#include "report/size_report.h"
#include "report/size_words.h"

namespace latchwright::report {

using base::exact_text;
using base::significant;
using choose::Pick;
using choose::Reason;
using choose::TurnedDown;
using model::PlaceKind;
using verdict::CheckRow;
using verdict::Verdict;

namespace {

std::string named(const model::PartPtr& part) {
  return part ? fmt::format("{} ({})", base::printable(part->title), part->id) : "none";
}

bool is_open(const choose::SizeResult& result, PlaceKind kind, std::size_t door = 0) {
  return std::find(result.open.begin(), result.open.end(), model::Place{kind, door}) != result.open.end();
}

/// The parts of a set, place by place; what the job had already is marked.
std::string parts_text(const Pick& pick, const choose::SizeResult& result) {
  const model::Study& study = pick.set.study;
  TextTable table({{"where"}, {"what"}, {"part"}, {""}});
  const auto add = [&](const std::string& where, const char* what, const model::PartPtr& part, bool open) {
    table.add({where, what, named(part), open ? "" : "as the job has it"});
  };
  add("battery to relay", "wire", study.feed.wire, is_open(result, PlaceKind::feed_wire));
  add("", "main fuse", study.feed.fuse, is_open(result, PlaceKind::main_fuse));
  add("", "relay", study.feed.relay, is_open(result, PlaceKind::relay));
  for (std::size_t k = 0; k < study.doors.size(); ++k) {
    const auto& parts = study.doors[k];
    add(base::printable(study.job.doors[k].name), "actuator", parts.actuator,
        is_open(result, PlaceKind::actuator, k));
    add("", "wire", parts.wire, is_open(result, PlaceKind::door_wire, k));
    add("", "fuse", parts.fuse, is_open(result, PlaceKind::door_fuse, k));
  }
  return table.text(2);
}

/// Where a set differs from the first: "tailgate: actuator act-heavy-2w, wire wire-1.5".
std::string differences(const Pick& first, const Pick& other, const choose::SizeResult& result) {
  // The same part in several doors is said once.
  std::vector<std::pair<std::string, std::vector<std::string>>> changes;
  for (const auto& place : result.open) {
    const auto& part = model::part_at(other.set.study, place);
    if (part == model::part_at(first.set.study, place)) continue;
    std::string where = place_text(first.set.study, place);
    const auto same =
        std::find_if(changes.begin(), changes.end(), [&](const auto& c) { return c.first == part->id; });
    if (same == changes.end()) {
      changes.push_back({part->id, {std::move(where)}});
    } else {
      same->second.push_back(std::move(where));
    }
  }
  std::vector<std::string> parts;
  for (const auto& [id, where] : changes) parts.push_back(fmt::format("{} ({})", id, fmt::join(where, ", ")));
  return fmt::format("{}", fmt::join(parts, "; "));
}

std::string price_text(const Pick& pick) {
  return pick.price ? fmt::format(", price {}", exact_text(*pick.price)) : "";
}

std::string picks_text(const choose::SizeResult& result, const Style& style) {
  const Pick& first = result.picks.front();
  const CheckRow& weakest = first.set.rows[first.set.weakest];
  std::string out = result.open.empty() ? "Nothing is left open: the set as it stands\n" : "Fit this\n";
  out += parts_text(first, result);
  out += fmt::format("  {} of {} checks hold, {} tight{}. Weakest link:\n", first.set.count(Verdict::holds),
                     first.set.rows.size(), first.set.count(Verdict::tight), price_text(first));
  out += wrapped(row_line(first.set.study, weakest, style), 4);
  out += wrapped(weakest.why + ".", 6);
  for (const CheckRow& row : first.set.rows) {
    if (row.verdict == Verdict::tight && &row != &weakest)
      out += wrapped("Also tight: " + row_line(first.set.study, row, style), 4);
  }
  if (result.picks.size() > 1) {
    out += "\nOther sets that pass, and where they differ\n";
    for (std::size_t n = 1; n < result.picks.size(); ++n) {
      const Pick& other = result.picks[n];
      const CheckRow& weak = other.set.rows[other.set.weakest];
      out += wrapped(fmt::format("{}. {}{}. Weakest: {}", n + 1, differences(first, other, result),
                                 price_text(other), row_line(other.set.study, weak, style)),
                     2);
    }
  }
  return out;
}

/// Parts of one kind and place with the same word for why go into one line when they are many of no interest.
std::string turned_down_text(const choose::SizeResult& result, const Style& style) {
  if (result.turned_down.empty()) return "";
  constexpr std::size_t most_lines = 60;
  TextTable table({{"part"}, {"for"}, {"why not"}});
  std::map<std::string, std::size_t> larger;  // by place
  std::size_t lines = 0, left = 0;
  for (const TurnedDown& entry : result.turned_down) {
    if (entry.reason == Reason::larger) {
      ++larger[entry.place];
    } else if (lines < most_lines) {
      table.add({entry.part->id, base::printable(entry.place, 40), why_text(entry, style)});
      ++lines;
    } else {
      ++left;
    }
  }
  std::string out = (result.reasons_on_s ? fmt::format("\nTurned down (with a pulse of {} s)\n",
                                                       exact_text(*result.reasons_on_s))
                                         : std::string("\nTurned down\n")) +
                    (table.empty() ? std::string() : table.text(2));
  if (left > 0) out += fmt::format("  and {} more (--json lists all)\n", left);
  std::vector<std::string> places;
  for (const auto& [place, count] : larger)
    places.push_back(fmt::format("{} for {}", count, base::printable(place, 40)));
  if (!places.empty()) out += wrapped(fmt::format("Larger than needed: {}.", fmt::join(places, "; ")), 2);
  return out;
}

std::string nearest_text(const choose::SizeResult& result, const Style& style) {
  const auto& miss = *result.nearest;
  const auto& set = miss.pick.set;
  std::string out = result.open.empty()
                        ? std::string("Nothing is left open, and the set as it stands fails\n")
                        : fmt::format("None of the {} sets judged passes every check.\n\nNearest miss\n",
                                      result.sets_judged);
  out += parts_text(miss.pick, result);
  out += "  Sunk by:\n" + wrapped(row_line(set.study, miss.sunk_by, style), 4) +
         wrapped(miss.sunk_by.why + ".", 6);
  for (const CheckRow& row : set.rows) {
    if (row.verdict == Verdict::fails && &row != &set.rows[set.weakest]) {
      out += wrapped("Also: " + row_line(set.study, row, style), 4);
    }
  }
  out +=
      miss.job_change
          ? wrapped("The smallest change of the job that lets this set pass: " + miss.job_change->text + ".",
                    2)
          : wrapped("No single change of pulse, rest, promised cycles or run lets this set pass.", 2);
  return out;
}

}  // namespace

std::string size_text(const model::Study& study, const choose::SizeResult& result, const Style& style) {
  const model::Job& job = study.job;
  std::string out = fmt::format("{}\n", job.title.empty() ? "Job" : base::printable(job.title, 200));
  out +=
      fmt::format("{} {}, {} to be chosen; {} actuators looked at, {} whole {} judged\n\n", job.doors.size(),
                  job.doors.size() == 1 ? "door" : "doors", result.open.size(), result.actuators_looked_at,
                  result.sets_judged, result.sets_judged == 1 ? "set" : "sets");
  out += result.picks.empty() ? nearest_text(result, style) : picks_text(result, style);
  out += turned_down_text(result, style);
  out += "\nBefore you touch it\n";
  for (const auto& line : cautions()) out += "  " + line + '\n';
  const Pick& first = result.picks.empty() ? result.nearest->pick : result.picks.front();
  if (uses_invented_parts(first.set.study)) out += "\nExample parts: measure yours before promising this.\n";
  return out;
}

}  // namespace latchwright::report
