// SPDX-License-Identifier: GPL-3.0-or-later
#include "model/catalogue.h"

#include <fmt/format.h>

#include "base/failure.h"
#include "base/text.h"
#include "model/part_fields.h"

namespace latchwright::model {

void Catalogue::add_layer(const std::string& file, const std::vector<Part>& parts, const std::string& list_pointer) {
  SoundParts all{parts, {}};
  for (std::size_t k = 0; k < parts.size(); ++k) all.places.push_back(k);
  add_layer(file, all, list_pointer);
}

void Catalogue::add_layer(const std::string& file, const SoundParts& sound, const std::string& list_pointer) {
  const std::size_t layer = layers_.size();
  layers_.push_back({file, sound.parts.size()});
  for (std::size_t k = 0; k < sound.parts.size(); ++k) {
    entries_[sound.parts[k].id] = {std::make_shared<const Part>(sound.parts[k]), file,
                                   pointer_to(list_pointer, sound.places[k]), layer};
  }
}

PartPtr Catalogue::find(const std::string& id) const {
  const Entry* entry = find_entry(id);
  return entry ? entry->part : nullptr;
}

const Catalogue::Entry* Catalogue::find_entry(const std::string& id) const {
  const auto place = entries_.find(id);
  return place == entries_.end() ? nullptr : &place->second;
}

std::vector<const Catalogue::Entry*> Catalogue::entries() const {
  std::vector<const Entry*> all;
  for (const auto& [id, entry] : entries_) all.push_back(&entry);
  return all;
}

std::vector<std::string> Catalogue::ids_of(std::string_view kind) const {
  std::vector<std::string> ids;
  for (const auto& [id, entry] : entries_) {
    if (kind_of(*entry.part) == kind) ids.push_back(id);
  }
  return ids;
}

bool check_version(const Raw& raw, const std::string& key, int version, ReadContext& context) {
  const Raw* mark = raw.find(key);
  if (mark == nullptr) {
    context.add("/" + key, fmt::format("is missing (the version of the file format: {})", version));
  } else if (mark->number() == nullptr) {
    add_wrong_type(*mark, fmt::format("the number {}", version), "/" + key, context);
  } else if (*mark->number() > version) {
    context.add("/" + key, fmt::format("version {} needs a newer program (this one reads version {})", mark->shown(),
                                       version));
    return false;
  } else if (*mark->number() != version) {
    context.add("/" + key, fmt::format("version {} is not one that this program reads (it reads version {})",
                                       mark->shown(), version));
  }
  return true;
}

void check_unique_ids(const std::vector<Part>& parts, const std::string& list_pointer, ReadContext& context) {
  std::map<std::string, std::size_t> seen;
  for (std::size_t k = 0; k < parts.size(); ++k) {
    if (parts[k].id.empty()) continue;
    const auto [place, fresh] = seen.emplace(parts[k].id, k);
    if (!fresh) {
      context.add(pointer_to(pointer_to(list_pointer, k), "id"),
                  fmt::format("\"{}\" is already the id of {}", parts[k].id, pointer_to(list_pointer, place->second)));
    }
  }
}

base::Checked<std::vector<Part>> check_parts_file(const Raw& raw, const std::string& file) {
  ReadContext context{file, {}};
  if (raw.object() == nullptr) {
    add_wrong_type(raw, "an object with latchwright_parts and parts", "", context);
    return context.issues;
  }
  if (raw.find("latchwright_parts") == nullptr && raw.find("latchwright_job") != nullptr) {
    context.add("", "is a job, not a part file");
    return context.issues;
  }
  if (!check_version(raw, "latchwright_parts", parts_format_version, context)) return context.issues;
  for (const auto& [key, value] : *raw.object()) {
    if (key != "latchwright_parts" && key != "parts") {
      add_unknown_key(key, {"latchwright_parts", "parts"}, pointer_to("", key), context);
    }
  }
  std::vector<Part> parts;
  const Raw* list = raw.find("parts");
  if (list == nullptr) {
    context.add("/parts", "is missing (the list of parts)");
  } else if (list->list() == nullptr) {
    add_wrong_type(*list, "a list", "/parts", context);
  } else if (list->list()->size() > most_parts) {
    context.add("/parts", fmt::format("has {} (at most {} permitted)", entries_text(list->list()->size()), most_parts));
  } else {
    for (std::size_t k = 0; k < list->list()->size(); ++k) {
      const std::string pointer = pointer_to("/parts", k);
      const std::size_t faults = context.issues.size();
      read_part((*list->list())[k], pointer, context, parts.emplace_back());
      if (context.issues.size() == faults) check_part(parts.back(), pointer, context);
    }
    check_unique_ids(parts, "/parts", context);
  }
  if (!context.issues.empty()) return context.issues;
  return parts;
}

base::Checked<SoundParts> check_sound_parts(const Raw& raw, const std::string& file, base::Issues& left_out) {
  const auto all = check_parts_file(raw, file);
  const Raw* list = raw.find("parts");
  if (list == nullptr || list->list() == nullptr || list->list()->size() > most_parts) return all.issues();
  base::Issues of_file;
  std::vector<bool> broken(list->list()->size(), false);
  constexpr std::string_view start = "/parts/";
  if (!all.ok()) {
    for (const auto& issue : all.issues()) {
      if (!issue.pointer.starts_with(start)) {
        of_file.push_back(issue);
        continue;
      }
      broken.at(std::stoul(issue.pointer.substr(start.size()))) = true;
    }
  }
  if (!of_file.empty()) return all.issues();
  if (!all.ok()) left_out.insert(left_out.end(), all.issues().begin(), all.issues().end());
  SoundParts sound;
  for (std::size_t k = 0; k < broken.size(); ++k) {
    if (broken[k]) continue;
    ReadContext context{file, {}};
    read_part((*list->list())[k], pointer_to("/parts", k), context, sound.parts.emplace_back());
    sound.places.push_back(k);
  }
  return sound;
}

PartPtr look_up(const std::string& id, std::string_view kind, const std::string& pointer, const Catalogue& catalogue,
                ReadContext& context) {
  PartPtr part = catalogue.find(id);
  if (part && kind_of(*part) == kind) return part;
  if (part) {
    context.add(pointer, fmt::format("\"{}\" is a part of kind {}, not {}", id, kind_of(*part), kind));
    return nullptr;
  }
  const std::string near = base::nearest_word(id, catalogue.ids_of(kind));
  context.add(pointer, fmt::format("there is no {} \"{}\"{}", kind, id,
                                   near.empty() ? "" : "; did you mean \"" + near + "\"?"));
  return nullptr;
}

void check_part_references(const Part& part, const std::string& pointer, const Catalogue& catalogue,
                           ReadContext& context) {
  if (const auto* actuator = std::get_if<Actuator>(&part.body)) {
    if (const auto* id = std::get_if<std::string>(&actuator->ptc.curve)) {
      look_up(*id, "ptc_curve", pointer + "/ptc/curve", catalogue, context);
    }
  } else if (const auto* fuse = std::get_if<Fuse>(&part.body)) {
    look_up(fuse->family, "fuse_family", pointer + "/family", catalogue, context);
  }
}

const PtcCurve& curve_of(const Actuator& actuator, const Catalogue& catalogue) {
  if (const auto* curve = std::get_if<PtcCurve>(&actuator.ptc.curve)) return *curve;
  const PartPtr part = catalogue.find(std::get<std::string>(actuator.ptc.curve));
  base::require(part && std::holds_alternative<PtcCurve>(part->body), "a checked actuator has its curve");
  return std::get<PtcCurve>(part->body);
}

}  // namespace latchwright::model
