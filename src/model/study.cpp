// SPDX-License-Identifier: GPL-3.0-or-later
#include "model/study.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "model/job_fields.h"
#include "model/part_fields.h"

namespace latchwright::model {

namespace {

struct Placed {
  const char* key;
  double value;
};

/// Adds a fault where neighbours of one record are out of order, naming both places.
void check_order(const Raw& job, const char* record, const std::vector<Placed>& rising, std::string_view unit,
                 ReadContext& context) {
  const std::string pointer = pointer_to("", record);
  const Raw* given = job.find(record);
  const auto shown = [&](const Placed& entry) {
    const bool in_file = given != nullptr && given->find(entry.key) != nullptr;
    return fmt::format("{} {}{}", base::exact_text(entry.value), unit, in_file ? "" : ", the default");
  };
  const Placed* last = nullptr;
  for (const auto& entry : rising) {
    if (!context.clean(pointer_to(pointer, entry.key))) continue;
    if (last != nullptr && entry.value < last->value) {
      const bool in_file = given != nullptr && given->find(entry.key) != nullptr;
      context.add(pointer_to(pointer, entry.key),
                  fmt::format("{}{} must not be below {} ({})", shown(entry), in_file ? "" : ",",
                              pointer_to(pointer, last->key), shown(*last)));
    }
    last = &entry;
  }
}

void check_table(const RodForce& force, double stroke, const std::string& pointer, ReadContext& context) {
  if (force.x.size() != force.force.size()) {
    context.add(pointer + "/N",
                fmt::format("has {} where x_mm has {}", entries_text(force.force.size()), force.x.size()));
  }
  const auto mm = [](double metres) { return base::exact_text(to_file_unit(metres, 1e-3)); };
  if (force.x.front() != 0) {
    context.add(pointer + "/x_mm/0", fmt::format("{} mm must be 0: the travel starts there", mm(force.x.front())));
  }
  for (std::size_t k = 1; k < force.x.size(); ++k) {
    if (force.x[k] > force.x[k - 1]) continue;
    context.add(pointer_to(pointer + "/x_mm", k),
                fmt::format("{} mm must be above the entry before it ({} mm)", mm(force.x[k]), mm(force.x[k - 1])));
    return;
  }
  if (force.x.back() < stroke * (1 - 1e-9)) {
    context.add(pointer_to(pointer + "/x_mm", force.x.size() - 1),
                fmt::format("{} mm must reach the door's stroke_mm ({} mm)", mm(force.x.back()), mm(stroke)));
  }
}

/// Which figures a shape carries, and how they stand to each other. `stroke`: 0 where it is itself at fault.
void check_rod(const RodForce& force, const Raw& raw, double stroke, const std::string& pointer,
               ReadContext& context) {
  if (raw.find("shape") == nullptr || !context.clean(pointer_to(pointer, "shape"))) return;
  const std::string& shape = rod_shape_names()[static_cast<std::size_t>(force.shape)];
  const auto& wanted = rod_shape_keys(force.shape);
  for (const char* key : {"peak_N", "friction_N", "x_mm", "N"}) {
    const bool belongs = std::find(wanted.begin(), wanted.end(), key) != wanted.end();
    const bool given = raw.find(key) != nullptr;
    if (belongs && !given) {
      context.add(pointer_to(pointer, key), fmt::format("is missing (shape {} needs it)", shape));
    } else if (given && !belongs) {
      context.add(pointer_to(pointer, key), fmt::format("does not belong to shape {}", shape));
    }
  }
  for (const auto& key : wanted) {
    if (!context.clean(pointer_to(pointer, key))) return;
  }
  if (force.shape == RodShape::over_centre && force.friction > force.peak) {
    context.add(pointer + "/friction_N", fmt::format("{} N must not be above {} ({} N)",
                                                     base::exact_text(force.friction), pointer + "/peak_N",
                                                     base::exact_text(force.peak)));
  }
  if (force.shape == RodShape::table) check_table(force, stroke, pointer, context);
}

void check_doors(const Job& job, const Raw& raw_job, ReadContext& context) {
  std::map<std::string, std::size_t> names;
  const Raw* raw_doors = raw_job.find("doors");
  for (std::size_t k = 0; k < job.doors.size(); ++k) {
    const Door& door = job.doors[k];
    const std::string pointer = pointer_to("/doors", k);
    const auto [place, fresh] = names.emplace(door.name, k);
    if (!fresh && !door.name.empty()) {
      context.add(pointer + "/name", fmt::format("\"{}\" is already the name of {}", base::printable(door.name),
                                                 pointer_to("/doors", place->second)));
    }
    const Raw& raw_door = (*raw_doors->list())[k];
    if (const Raw* raw = raw_door.find("rod_force")) {
      check_rod(door.rod_force, *raw, door.stroke, pointer + "/rod_force", context);
    }
    if (const Raw* raw = raw_door.find("rod_force_unlock"); raw != nullptr && door.rod_force_unlock) {
      check_rod(*door.rod_force_unlock, *raw, door.stroke, pointer + "/rod_force_unlock", context);
    }
  }
}

/// A reference to its part; an open one goes to the list of what is still to be chosen.
PartPtr resolve(const PartRef& reference, std::string_view kind, const std::string& pointer, const std::string& what,
                const Catalogue& catalogue, ReadContext& context, Study& study) {
  if (!reference) {
    study.not_chosen.push_back({pointer, what});
    return nullptr;
  }
  return look_up(*reference, kind, pointer, catalogue, context);
}

/// What a chosen part itself refers to. A part of the job that leads nowhere has its fault at its own place.
PartPtr follow(const PartPtr& part, const std::string& id, const char* kind, const std::string& pointer,
               const Catalogue& catalogue, ReadContext& context) {
  PartPtr target = catalogue.find(id);
  if (target && kind_of(*target) == std::string_view(kind)) return target;
  if (catalogue.find_entry(part->id)->file != context.file) {
    context.add(pointer, fmt::format("{} \"{}\" needs the {} \"{}\", {}", kind_of(*part), part->id, kind, id,
                                     target ? fmt::format("but that id is here a part of kind {}", kind_of(*target))
                                            : "which does not exist"));
  }
  return nullptr;
}

PartPtr family_of(const PartPtr& fuse, const std::string& pointer, const Catalogue& catalogue, ReadContext& context) {
  if (!fuse) return nullptr;
  return follow(fuse, std::get<Fuse>(fuse->body).family, "fuse_family", pointer, catalogue, context);
}

void resolve_parts(Study& study, ReadContext& context) {
  const Catalogue& parts = *study.catalogue;
  const Feed& feed = study.job.feed;
  study.feed.wire = resolve(feed.wire, "wire", "/feed/wire", "the wire of the feed", parts, context, study);
  study.feed.fuse = resolve(feed.fuse, "fuse", "/feed/fuse", "the main fuse", parts, context, study);
  study.feed.relay = resolve(feed.relay, "relay", "/feed/relay", "the relay", parts, context, study);
  study.feed.fuse_family = family_of(study.feed.fuse, "/feed/fuse", parts, context);
  for (std::size_t k = 0; k < study.job.doors.size(); ++k) {
    const Door& door = study.job.doors[k];
    const std::string pointer = pointer_to("/doors", k);
    const std::string named = " of " + base::printable(door.name);
    DoorParts chosen;
    chosen.actuator = resolve(door.actuator, "actuator", pointer + "/actuator", "the actuator" + named, parts,
                              context, study);
    chosen.wire = resolve(door.wire, "wire", pointer + "/wire", "the wire" + named, parts, context, study);
    if (door.fuse) {
      chosen.fuse = resolve(*door.fuse, "fuse", pointer + "/fuse", "the fuse" + named, parts, context, study);
      chosen.fuse_family = family_of(chosen.fuse, pointer + "/fuse", parts, context);
    }
    if (chosen.actuator) {
      const auto& actuator = std::get<Actuator>(chosen.actuator->body);
      const auto* id = std::get_if<std::string>(&actuator.ptc.curve);
      if (id == nullptr || follow(chosen.actuator, *id, "ptc_curve", pointer + "/actuator", parts, context)) {
        chosen.curve = curve_of(actuator, parts);
      }
    }
    study.doors.push_back(std::move(chosen));
  }
}

struct PartFaults {
  std::vector<bool> faulty;   ///< of each part of the job
  bool unknown_ids = false;   ///< some part's id or kind cannot be told: references cannot be followed
};

PartFaults find_part_faults(const Raw& raw, const ReadContext& context, std::size_t count) {
  PartFaults found{std::vector<bool>(count, false), false};
  const std::string start = "/parts/";
  for (const auto& issue : context.issues) {
    if (issue.pointer == "/parts") found.unknown_ids = true;
    if (!issue.pointer.starts_with(start)) continue;
    const std::size_t k = std::strtoul(issue.pointer.c_str() + start.size(), nullptr, 10);
    found.faulty.at(k) = true;
    const std::string place = pointer_to("/parts", k);
    const bool is_object = (*raw.find("parts")->list())[k].object() != nullptr;
    if (!is_object || issue.pointer == place + "/id" || issue.pointer == place + "/kind") found.unknown_ids = true;
  }
  return found;
}

/// The job's own parts by themselves, and where they lead to in the catalogue that they make with the others.
void check_own_parts(const Raw& raw, Study& study, const Catalogue& parts, ReadContext& context) {
  const Job& job = study.job;
  const PartFaults faults = find_part_faults(raw, context, job.parts.size());
  for (std::size_t k = 0; k < job.parts.size(); ++k) {
    if (!faults.faulty[k]) check_part(job.parts[k], pointer_to("/parts", k), context);
  }
  check_unique_ids(job.parts, "/parts", context);
  auto catalogue = std::make_shared<Catalogue>(parts);
  catalogue->add_layer(context.file, job.parts, "/parts");
  study.catalogue = std::move(catalogue);
  if (faults.unknown_ids) return;
  for (std::size_t k = 0; k < job.parts.size(); ++k) {
    if (!faults.faulty[k]) check_part_references(job.parts[k], pointer_to("/parts", k), *study.catalogue, context);
  }
  resolve_parts(study, context);
}

}  // namespace

base::Checked<Study> check_job(const Raw& raw, const std::string& file, const Catalogue& parts) {
  ReadContext context{file, {}};
  Study study;
  if (raw.object() == nullptr) {
    add_wrong_type(raw, "an object with latchwright_job", "", context);
    return context.issues;
  }
  if (raw.find("latchwright_job") == nullptr && raw.find("latchwright_parts") != nullptr) {
    context.add("", "is a part file, not a job");
    return context.issues;
  }
  if (!check_version(raw, "latchwright_job", job_format_version, context)) return context.issues;
  Job& job = study.job;
  read_record(raw, job_table(), "", context, job, {"latchwright_job"});

  std::vector<Placed> voltages{{"low_V", job.supply.low_V},
                               {"usual_V", job.supply.usual_V},
                               {"charge_V", job.supply.charge_V},
                               {"high_V", job.supply.high_V}};
  if (job.supply.jump_V) voltages.push_back({"jump_V", *job.supply.jump_V});
  check_order(raw, "supply", voltages, "V", context);
  check_order(raw, "climate",
              {{"cold_C", job.climate.cold_C}, {"usual_C", job.climate.usual_C}, {"hot_C", job.climate.hot_C}}, "°C",
              context);
  check_doors(job, raw, context);
  check_own_parts(raw, study, parts, context);
  if (!context.issues.empty()) return context.issues;
  return study;
}

base::Checked<Study> check_job(const Job& job, const std::string& file, const Catalogue& parts) {
  return check_job(write_job(job), file, parts);
}

Raw write_job(const Job& job) {
  Raw::Object members{{"latchwright_job", Raw(job_format_version)}};
  for (auto& member : write_record(job, job_table())) members.push_back(std::move(member));
  return Raw(std::move(members));
}

}  // namespace latchwright::model
