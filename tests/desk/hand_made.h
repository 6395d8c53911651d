// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <stdexcept>
#include <string>

#include "desk/verdict_state.h"
#include "io/files.h"
#include "io/json.h"
#include "report/run_links.h"

// Jobs and verdicts made by hand for the window's tests: nothing is computed.
namespace latchwright::tests {

using StudyPtr = std::shared_ptr<const model::Study>;

inline StudyPtr again(const model::Study& study, const model::Job& job) {
  const auto checked = model::check_job(job, "changed job", *study.catalogue);
  if (!checked.ok()) throw std::runtime_error(checked.issues().front().line());
  return std::make_shared<const model::Study>(checked.value());
}

/// A job of so many doors, every part still to be chosen, a fuse in each door run.
inline StudyPtr open_study(int doors) {
  const auto parts = io::load_catalogue({});
  if (!parts.ok()) throw std::runtime_error(parts.issues().front().line());
  std::string list;
  for (int door = 1; door <= doors; ++door) {
    if (door > 1) list.push_back(',');
    list += R"({"name": "door )" + std::to_string(door) + R"(", "fuse": null, "branch_length_m": 3, )" +
            R"("stroke_mm": 18, "rod_force": {"shape": "steady", "peak_N": 20}})";
  }
  const auto raw =
      io::parse_json(R"({"latchwright_job": 1, "feed": {"length_m": 2}, "doors": [)" + list + "]}", "job");
  const auto checked = model::check_job(raw.value(), "job", parts.value());
  if (!checked.ok()) throw std::runtime_error(checked.issues().front().line());
  return std::make_shared<const model::Study>(checked.value());
}

/// The same with all parts.
inline StudyPtr full_study(int doors) {
  const StudyPtr open = open_study(doors);
  model::Job job = open->job;
  job.feed.wire = "wire-4.0";
  job.feed.fuse = "fuse-medium-30";
  job.feed.relay = "relay-40";
  for (model::Door& door : job.doors) {
    door.actuator = "act-ordinary-2w";
    door.wire = "wire-1.0";
    door.fuse = model::PartRef("fuse-medium-7.5");
  }
  return again(*open, job);
}

inline verdict::CheckRow row(verdict::CheckId id, std::optional<std::size_t> door, const std::string& part,
                             double have, double need, const std::string& unit) {
  verdict::CheckRow made;
  made.id = id;
  made.door = door;
  made.part = part;
  made.have = have;
  made.need = need;
  made.unit = unit;
  made.at = verdict::At{9, -20};
  made.why = "a reason of one sentence.";
  verdict::judge(made);
  return made;
}

/// A current verdict of these rows.
inline desk::VerdictState verdict_of(const StudyPtr& study, const verdict::Rows& rows) {
  auto examined = std::make_shared<verdict::Examination>();
  examined->all = rows;
  examined->worst = rows;
  examined->pass = true;
  for (std::size_t k = 0; k < rows.size(); ++k) {
    if (verdict::worse(rows[k], rows[examined->weakest])) examined->weakest = k;
    examined->pass = examined->pass && rows[k].verdict != verdict::Verdict::fails;
  }
  return {study, examined, true, true};
}

/// All links as chosen, with this row as the worst of this link.
inline std::vector<report::LinkState> states_of(const model::Study& study,
                                                std::optional<report::Link> link = std::nullopt,
                                                std::size_t row = 0) {
  using report::LinkKind;
  static const char* const names[] = {"battery",  "main fuse",  "feed",  "relay",
                                      "door run", "thermistor", "motor", "rod"};
  static const char* const parts[] = {"12.6 V",
                                      "30 A",
                                      "4 mm²",
                                      "40 A",
                                      "1 mm²",
                                      "1.8 Ω",
                                      "Ordinary two-wire actuator, 35 N, polymer thermistor",
                                      "20.0 N"};
  std::vector<report::LinkState> states;
  const auto add = [&](LinkKind kind, std::size_t door, const std::string& of_door) {
    report::LinkState state;
    state.link = {kind, door};
    state.name = names[static_cast<int>(kind)] + of_door;
    state.part = parts[static_cast<int>(kind)];
    if (kind == LinkKind::feed) state.area_mm2 = 4;
    if (kind == LinkKind::door_run) state.area_mm2 = 1;
    if (kind == LinkKind::rod) state.force_N = 20;
    if (link && *link == state.link) {
      state.rows = {row};
      state.worst = row;
    }
    states.push_back(state);
  };
  for (const LinkKind kind : {LinkKind::battery, LinkKind::main_fuse, LinkKind::feed, LinkKind::relay}) {
    add(kind, 0, "");
  }
  for (std::size_t door = 0; door < study.job.doors.size(); ++door) {
    for (const LinkKind kind : {LinkKind::door_run, LinkKind::thermistor, LinkKind::motor, LinkKind::rod}) {
      add(kind, door, ", " + study.job.doors[door].name);
    }
  }
  return states;
}

}  // namespace latchwright::tests
