// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <map>

#include "base/text.h"
#include "base/wire_gauge.h"
#include "physics/rod_load.h"
#include "report/check_words.h"
#include "report/sheet_parts.h"
#include "report/sheet_sections.h"

namespace latchwright::report {

using base::exact_text;
using base::significant;
using verdict::CheckRow;
using verdict::Verdict;

namespace {

SheetNotice verdict_notice(const verdict::Rows& rows) {
  const auto count = [&](Verdict v) {
    return std::count_if(rows.begin(), rows.end(), [v](const CheckRow& row) { return row.verdict == v; });
  };
  const auto fails = count(Verdict::fails), tight = count(Verdict::tight), holds = count(Verdict::holds);
  SheetNotice notice;
  notice.kind = fails > 0   ? SheetNotice::Kind::stop
                : tight > 0 ? SheetNotice::Kind::mind
                            : SheetNotice::Kind::good;
  notice.title = fmt::format("{}: {} of {} checks hold, {} tight, {} {}", fails > 0 ? "Fails" : "Passes",
                             holds, rows.size(), tight, fails, fails == 1 ? "fails" : "fail");
  if (tight > 0)
    notice.lines.push_back(
        "Tight holds, but with little to spare: measure such a place before you rely on it.");
  return notice;
}

/// "fuse protects the wire, door run, tailgate (12.6 V, 80 °C): have 8.69 s, need 9.79 s, margin 0.887:
/// fails. Why. Cure."
std::string row_words(const model::Study& study, const CheckRow& row) {
  std::string text =
      fmt::format("{}, {} {}: {}, margin {}, {}: {}.", title_of(row.id), where_of(study, row), at_text(row),
                  have_and_need(row), margin_text(row.margin), verdict::word_of(row.verdict), row.why);
  if (!row.change) {
    if (row.verdict == Verdict::fails) text += " No single change within the catalogue cures this.";
    return text;
  }
  text += fmt::format(" Cure: {}.", row.change->text);
  if (!row.cures.empty() && !row.cures.front().breaks.empty()) {
    std::vector<std::string> broken;
    for (const auto id : row.cures.front().breaks) broken.push_back(title_of(id));
    text += fmt::format(" But then another check fails: {}.", fmt::join(broken, "; "));
  }
  return text;
}

/// Of these verdicts, weakest first; the weakest of all stands above already.
std::vector<std::string> rows_in_words(const model::Study& study, const verdict::Examination& examination,
                                       Verdict level) {
  std::vector<const CheckRow*> found;
  for (std::size_t k = 0; k < examination.worst.size(); ++k) {
    if (examination.worst[k].verdict == level && k != examination.weakest)
      found.push_back(&examination.worst[k]);
  }
  std::stable_sort(found.begin(), found.end(),
                   [](const auto* a, const auto* b) { return verdict::worse(*a, *b); });
  std::vector<std::string> words;
  for (const CheckRow* row : found) words.push_back(row_words(study, *row));
  return words;
}

SheetTable check_table(const model::Study& study, const verdict::Examination& examination) {
  SheetTable table;
  table.title = "Each check where it is weakest, the weakest first (margin: have over need; below 1 fails)";
  table.columns = {{"check"},      {"where"},        {"condition"}, {"have", true},
                   {"need", true}, {"margin", true}, {"verdict"}};
  verdict::Rows rows = one_a_check(examination.worst);
  std::stable_sort(rows.begin(), rows.end(), verdict::worse);
  for (const CheckRow& row : rows) {
    table.rows.push_back({title_of(row.id), where_of(study, row), at_text(row), figure_text(row, false),
                          figure_text(row, true), margin_text(row.margin),
                          std::string(verdict::word_of(row.verdict))});
  }
  return table;
}

std::string millimetres(double metres) { return significant(metres * 1e3) + " mm"; }

/// The largest force over the travel, without what cold adds.
std::string force_text(const model::RodForce& force, double stroke) {
  constexpr double plain_C = 23;  // at and above it the rod takes what the job says
  return significant(physics::RodLoad(force, stroke, plain_C, plain_C).largest()) + " N";
}

SheetTable door_table(const model::Study& study) {
  SheetTable table;
  table.title = "Doors";
  table.columns = {{"door"},
                   {"actuator"},
                   {"wires", true},
                   {"its travel", true},
                   {"the lock's", true},
                   {"rod: lock", true},
                   {"unlock", true}};
  for (std::size_t k = 0; k < study.doors.size(); ++k) {
    const model::Door& door = study.job.doors[k];
    const model::Actuator& actuator = study.actuator(k);
    table.rows.push_back({door_name(study, k), study.doors[k].actuator->id, std::to_string(actuator.wires),
                          millimetres(actuator.stroke), millimetres(door.stroke),
                          force_text(door.rod_force, door.stroke),
                          force_text(door.rod_force_unlock.value_or(door.rod_force), door.stroke)});
  }
  return table;
}

struct Run {
  std::string name;
  double length = 0;  ///< m, one way
  int conductors = 1;
  model::PartPtr part;
};

std::vector<Run> runs_of(const model::Study& study) {
  std::vector<Run> runs{{"feed: battery to relay", study.job.feed.length, 1, study.feed.wire}};
  for (std::size_t k = 0; k < study.doors.size(); ++k) {
    runs.push_back(
        {"door run, " + door_name(study, k), study.job.doors[k].branch_length, 2, study.doors[k].wire});
  }
  return runs;
}

std::string metres(double length) { return significant(length) + " m"; }

std::string gauge_words(double area_mm2) {
  const auto gauge = base::gauge_for(area_mm2);
  if (!gauge) return "–";
  return (gauge->same ? "" : "at least ") + base::gauge_text(gauge->size) + " AWG";
}

SheetTable wire_table(const model::Study& study) {
  SheetTable table;
  table.title = "Wires";
  table.columns = {{"run"},         {"to cut", true},  {"cross-section", true},
                   {"gauge", true}, {"outside", true}, {"class", true},
                   {"cable"},       {"terminals"}};
  for (const Run& run : runs_of(study)) {
    const auto& wire = std::get<model::Wire>(run.part->body);
    const double area_mm2 = wire.area * 1e6;
    table.rows.push_back({run.name, fmt::format("{} × {}", run.conductors, metres(run.length)),
                          base::area_text(area_mm2), gauge_words(area_mm2), millimetres(wire.outside),
                          significant(wire.class_C) + " °C", run.part->id,
                          "to suit " + base::area_text(area_mm2)});
  }
  return table;
}

std::vector<std::string> wire_remarks(const model::Study& study) {
  std::map<std::string, std::pair<double, double>> need;  // cable -> area, metres
  for (const Run& run : runs_of(study)) {
    auto& [area_mm2, total] = need[run.part->id];
    area_mm2 = std::get<model::Wire>(run.part->body).area * 1e6;
    total += run.conductors * run.length;
  }
  std::vector<std::string> totals;
  for (const auto& [id, one] : need)
    totals.push_back(fmt::format("{} of {} ({})", metres(one.second), base::area_text(one.first), id));
  std::vector<std::string> remarks{
      fmt::format("In all {}, without what ends, bends and mistakes take.", listed(totals))};
  std::vector<std::size_t> with_switch;
  for (std::size_t k = 0; k < study.doors.size(); ++k) {
    if (study.actuator(k).wires > 2) with_switch.push_back(k);
  }
  if (!with_switch.empty()) {
    remarks.push_back(
        fmt::format("Five-wire actuators ({}) take three more thin wires to their end switch; they carry no "
                    "motor current and are not part of this table.",
                    door_names(study, with_switch)));
  }
  remarks.push_back(
      "Gauge: the thinnest size sold with at least as much copper (ASTM B258; the SAE size of the same "
      "number holds "
      "less). Crimp with the tool that the terminal's maker names for this cross-section, and pull at every "
      "crimp.");
  return remarks;
}

SheetTable fuse_table(const model::Study& study) {
  SheetTable table;
  table.title = "Fuses and relay";
  table.columns = {{"place"}, {"rating", true}, {"colour"}, {"made for", true}, {"part"}};
  const auto add = [&](std::string place, const model::PartPtr& part) {
    const auto& fuse = std::get<model::Fuse>(part->body);
    table.rows.push_back({std::move(place), exact_text(fuse.rating_A) + " A", sheet_text(fuse.colour),
                          exact_text(fuse.rated_V) + " V", part->id});
  };
  add("main fuse, at the battery end of the feed", study.feed.fuse);
  for (std::size_t k = 0; k < study.doors.size(); ++k) {
    if (study.doors[k].fuse) {
      add(fmt::format("{}, at the relay end of its run", door_name(study, k)), study.doors[k].fuse);
    } else {
      table.rows.push_back({door_name(study, k), "none", "–", "–", "only the main fuse stands before this run"});
    }
  }
  table.rows.push_back({"relay pair (may switch into stalled motors at 85 °C)",
                        exact_text(study.relay().rated_A) + " A", "–", "–", study.feed.relay->id});
  return table;
}

SheetList settings_list(const model::Study& study) {
  const model::Job& job = study.job;
  return {
      {fmt::format(
           "Controller: pulse {} s. Checked for {} cycles in a row ({} when hot) with {} s of rest between "
           "pulses; a cycle is lock plus unlock.",
           exact_text(job.pulse.on_s), job.use.cycles, job.use.hot_cycles, exact_text(job.use.gap_s)),
       fmt::format("Other load on the tapped circuit: {} A.", exact_text(job.feed.other_load_A))}};
}

/// How long it rests after it stopped, in the trade's words.
std::vector<std::string> lockout_words(const model::Study& study, const SheetFindings& findings) {
  std::vector<std::string> words;
  for (const UseInARow* use : {&findings.cold, &findings.usual, &findings.hot}) {
    const std::string at =
        fmt::format("{} V, {} °C", exact_text(use->at.voltage_V), exact_text(use->at.ambient_C));
    if (!use->may_stop()) {
      words.push_back(fmt::format("{}: still works after {} cycles in a row.", at, use->looked));
      continue;
    }
    const bool all = use->doors.size() == study.doors.size() && use->doors.size() > 1;
    std::string text = fmt::format(
        "{}: {} cycles in a row{} ({} wanted; {} to {} over the thermistors' tolerance)", at, use->cycles,
        use->stops() ? "" : " and more", use->wanted, use->band.first, use->band.second);
    text += fmt::format("{} {} working until cool (lockout)",
                        (use->stops() ? "; then " : "; at that tolerance's end ") +
                            (all ? std::string("all doors") : door_names(study, use->doors)),
                        use->doors.size() == 1 ? "stops" : "stop");
    if (use->recovery && use->recovery->recovery_s) {
      text +=
          fmt::format("; one throw works again after {} of rest, as good as cold to a meter after {}",
                      base::wait_text(*use->recovery->recovery_s), base::wait_text(use->recovery->cooled_s));
    } else {
      text += "; no rest at this ambient brings the throw back";
    }
    words.push_back(text + ".");
  }
  return words;
}

}  // namespace

SheetSection installer_section(const model::Study& study, const SheetFindings& findings) {
  const verdict::Examination& examination = findings.examination;
  SheetSection section{"installer", "For the fitter", {}};
  auto& blocks = section.blocks;
  blocks.emplace_back(verdict_notice(examination.worst));
  blocks.emplace_back(SheetHeading{"Weakest link"});
  blocks.emplace_back(SheetParagraph{row_words(study, examination.worst[examination.weakest])});
  for (const auto& [level, title] :
       {std::pair{Verdict::fails, "Also fails"}, std::pair{Verdict::tight, "Tight"}}) {
    auto words = rows_in_words(study, examination, level);
    if (words.empty()) continue;
    blocks.emplace_back(SheetHeading{title});
    blocks.emplace_back(SheetList{std::move(words)});
  }
  blocks.emplace_back(check_table(study, examination));
  blocks.emplace_back(SheetHeading{"Settings and use"});
  blocks.emplace_back(settings_list(study));
  blocks.emplace_back(SheetList{lockout_words(study, findings)});
  if (!study.job.notes.empty()) {
    blocks.emplace_back(SheetHeading{"Notes of the job"});
    blocks.emplace_back(SheetParagraph{base::printable(study.job.notes, study.job.notes.size())});
  }
  blocks.emplace_back(SheetHeading{"What goes where"});
  blocks.emplace_back(door_table(study));
  blocks.emplace_back(wire_table(study));
  blocks.emplace_back(SheetList{wire_remarks(study), false, true});
  blocks.emplace_back(fuse_table(study));
  blocks.emplace_back(part_table(study));
  blocks.emplace_back(SheetHeading{"Pictures"});
  for (const Picture& picture : findings.pictures) blocks.emplace_back(SheetPicture{picture});
  return section;
}

}  // namespace latchwright::report
