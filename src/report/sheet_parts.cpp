// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/sheet_parts.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "base/text.h"
#include "report/sheet_sections.h"

namespace latchwright::report {

namespace {

/// "invented: an example, measure yours before promising this".
std::string source_words(const model::Source& source) {
  if (source.kind == "invented") return "invented: example part, measure yours before promising this";
  if (source.kind == "measured") return "measured";
  if (source.kind == "datasheet") return "its maker's data sheet";
  return source.kind == "standard" ? "a standard" : "a handbook";
}

std::map<std::string, std::vector<std::string>> places_of_parts(const model::Study& study) {
  std::map<std::string, std::vector<std::string>> places;
  const auto add = [&](const model::PartPtr& part, const std::string& place) {
    if (!part) return;
    auto& known = places[part->id];
    if (std::find(known.begin(), known.end(), place) == known.end()) known.push_back(place);
  };
  add(study.feed.wire, "feed");
  add(study.feed.fuse, "main fuse");
  add(study.feed.relay, "relay");
  add(study.feed.fuse_family, "its fuses' time limits");
  for (std::size_t k = 0; k < study.doors.size(); ++k) {
    const model::DoorParts& door = study.doors[k];
    const std::string name = door_name(study, k);
    for (const auto& part : {door.actuator, door.wire, door.fuse}) add(part, name);
    add(door.fuse_family, "its fuses' time limits");
    const auto& curve = study.actuator(k).ptc.curve;
    if (const auto* id = std::get_if<std::string>(&curve)) {
      add(study.catalogue->find(*id), "thermistor of " + door.actuator->id);
    }
  }
  return places;
}

}  // namespace

SheetTable part_table(const model::Study& study) {
  SheetTable table;
  table.title = "Parts";
  table.columns = {{"part"}, {"what it is"}, {"where"}, {"its figures come from"}};
  const auto places = places_of_parts(study);
  for (const auto& part : used_parts(study)) {
    table.rows.push_back(
        {part->id, sheet_text(part->title), listed(places.at(part->id)), source_words(part->source)});
  }
  return table;
}

SheetList source_notes(const model::Study& study) {
  std::vector<std::pair<std::string, std::vector<std::string>>> notes;  // the note, whose it is
  for (const auto& part : used_parts(study)) {
    const std::string note = base::printable(part->source.note, part->source.note.size());
    const auto known =
        std::find_if(notes.begin(), notes.end(), [&](const auto& one) { return one.first == note; });
    if (known != notes.end()) {
      known->second.push_back(part->id);
    } else {
      notes.emplace_back(note, std::vector{part->id});
    }
  }
  SheetList list;
  list.faint = true;
  for (const auto& [note, ids] : notes)
    list.items.push_back(fmt::format("{}: {}", listed(ids), note.empty() ? "no note" : note));
  return list;
}

}  // namespace latchwright::report
