// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "report/check_report.h"
#include "report/sheet_sections.h"

// The owner's page. Nobody here knows what an actuator, a thermistor or a margin is.
namespace latchwright::report {

namespace {

std::string degrees(double ambient_C) { return base::exact_text(ambient_C) + " °C"; }

std::string times(int count) { return count == 1 ? "once" : fmt::format("{} times", count); }

/// "once", "3 times in a row".
std::string in_a_row(int count) { return count > 1 ? times(count) + " in a row" : std::string("once"); }

/// Without a wait in between.
std::string row_of_presses(const UseInARow& use) {
  const auto& [low, high] = use.band;
  if (low >= use.looked) return in_a_row(use.looked) + " and more";
  std::string text = use.cycles == 0 ? "not even once" : in_a_row(use.cycles);
  if (low != high) {
    text +=
        fmt::format(" ({} to {}{}: lock motors differ)", low, high, high >= use.looked ? " and more" : "");
  }
  return text;
}

/// Whether it comes back by rest alone, or need not.
bool comes_back(const UseInARow& use) {
  return !use.may_stop() || (use.recovery && use.recovery->recovery_s);
}

std::string wait_after(const UseInARow& use) {
  if (!use.may_stop()) return "no wait";
  if (!comes_back(use)) return use.cycles == 0 ? "no wait helps" : "no wait helps while it is so warm";
  const double once = std::max(*use.recovery->recovery_s, 1.0), rested = use.recovery->cooled_s;
  return fmt::format("about {} for one more press, {} until it is as fresh as before", generous_wait(once),
                     generous_wait(std::max(rested, once)));
}

SheetTable use_table(const SheetFindings& findings) {
  SheetTable table;
  table.title = "Locked and unlocked again and again, without a pause";
  table.columns = {{"the day"}, {"it works"}, {"when it has stopped, wait"}};
  const auto add = [&](const char* day, const UseInARow& use) {
    table.rows.push_back({fmt::format("{}, {} in the doors", day, degrees(use.at.ambient_C)),
                          row_of_presses(use), wait_after(use)});
  };
  add("usual day", findings.usual);
  add("hot day in the sun", findings.hot);
  add("cold day", findings.cold);
  return table;
}

/// Equal fuses in one row: what the owner looks for is the figure.
SheetTable fuse_table_of(const model::Study& study) {
  SheetTable table;
  table.title = "Fuses: replace one only by another with the same figure and colour";
  table.columns = {{"it protects"}, {"rating", true}, {"colour"}};
  const auto add = [&](const std::string& what, const model::PartPtr& part) {
    const auto& fuse = std::get<model::Fuse>(part->body);
    table.rows.push_back({what, base::exact_text(fuse.rating_A) + " A", sheet_text(fuse.colour)});
  };
  add("all locks", study.feed.fuse);
  std::vector<std::pair<model::PartPtr, std::vector<std::size_t>>> kinds;
  for (std::size_t k = 0; k < study.doors.size(); ++k) {
    const model::PartPtr& fuse = study.doors[k].fuse;
    if (!fuse) continue;
    const auto known = std::find_if(kinds.begin(), kinds.end(),
                                    [&](const auto& kind) { return kind.first->id == fuse->id; });
    if (known == kinds.end()) {
      kinds.emplace_back(fuse, std::vector{k});
    } else {
      known->second.push_back(k);
    }
  }
  for (const auto& [fuse, doors] : kinds) {
    add((doors.size() > 1 ? "one each: " : "") + door_names(study, doors), fuse);
  }
  return table;
}

/// The longest rest that any day asks for; none where it never stops, infinite where no rest helps.
std::optional<double> longest_rest(const SheetFindings& findings) {
  std::optional<double> longest;
  for (const UseInARow* use : {&findings.cold, &findings.usual, &findings.hot}) {
    if (!use->may_stop()) continue;
    const double rest =
        comes_back(*use) ? std::max(use->recovery->cooled_s, *use->recovery->recovery_s) : INFINITY;
    longest = std::max(rest, longest.value_or(0));
  }
  return longest;
}

std::vector<std::string> when_stopped(const SheetFindings& findings) {
  std::vector<std::string> steps{
      "Leave the switch alone and wait. It has switched itself off because it was warm, and comes back by "
      "itself. "
      "Pressing on only keeps it warm.",
      "Meanwhile use the key and the handles: every door has to open by hand, locked or not."};
  const auto rest = longest_rest(findings);
  if (comes_back(findings.usual) && !comes_back(findings.hot)) {
    steps.push_back(
        "On a hot day park in the shade or air the car first: while the doors are as hot as in the table, "
        "waiting alone does not bring it back.");
  }
  // Twice what was computed: by then it is no longer the warmth.
  const std::string patience = generous_wait(rest && std::isfinite(*rest) ? 2 * *rest : 600);
  steps.push_back(
      fmt::format("If it still does not work after {}, or if it stops sooner than the table says, have it "
                  "looked at by whoever fitted it.",
                  patience));
  return steps;
}

}  // namespace

SheetSection customer_section(const model::Study& study, const SheetFindings& findings) {
  SheetSection section{"customer", "For the owner of the car", {}};
  auto& blocks = section.blocks;
  std::vector<std::size_t> all;
  for (std::size_t k = 0; k < study.doors.size(); ++k) all.push_back(k);
  blocks.emplace_back(SheetHeading{"What is fitted"});
  blocks.emplace_back(SheetParagraph{
      fmt::format("{} in {}: {}. {} protected against being used too much: a motor that gets too warm "
                  "stops working until it has cooled. That is no fault.",
                  all.size() == 1 ? "A lock motor" : fmt::format("{} lock motors, one each", all.size()),
                  all.size() == 1 ? "this door" : "these doors", door_names(study, all),
                  all.size() == 1 ? "It is" : "Each is")});
  blocks.emplace_back(fuse_table_of(study));
  blocks.emplace_back(SheetHeading{"How it behaves"});
  blocks.emplace_back(
      SheetParagraph{fmt::format("The locks have to work {} in a row on a usual day and {} on a hot one; "
                                 "once means locked and unlocked, "
                                 "with a press every {} seconds. Faster pressing brings fewer.",
                                 times(study.job.use.cycles), times(study.job.use.hot_cycles),
                                 base::significant(study.job.pulse.on_s + study.job.use.gap_s, 2))});
  blocks.emplace_back(use_table(findings));
  if (uses_invented_parts(study)) {
    blocks.emplace_back(
        SheetNotice{SheetNotice::Kind::mind,
                    "These figures are no promise yet",
                    {"They were computed with example parts. Whoever fitted the locks measures the "
                     "real ones first, and makes this page anew."}});
  }
  blocks.emplace_back(SheetHeading{"When it has stopped"});
  blocks.emplace_back(SheetList{when_stopped(findings), true});
  blocks.emplace_back(SheetHeading{"Please do not"});
  blocks.emplace_back(SheetList{
      {"play with the locks, or let children: the locks get warm, and rods and latches pinch fingers;",
       // NOLINTNEXTLINE(bugprone-suspicious-missing-comma): one text on two lines.
       "put in a larger fuse, or bridge one: it is there so that no wire burns. A fuse that blows again "
       "tells of a fault;",
       "work the locks while the car is being jump-started;",
       "touch a lock motor that has just been held or has stopped: it is hot;",
       "go on using a lock that sticks, hums or smells: take out its fuse and have it looked at."}});
  return section;
}

}  // namespace latchwright::report
