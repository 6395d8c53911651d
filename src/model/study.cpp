// SPDX-License-Identifier: GPL-3.0-or-later
#include "model/study.h"

#include <fmt/format.h>

#include <cmath>

#include "base/text.h"
#include "model/job_fields.h"
#include "model/part_fields.h"

namespace latchwright::model {

namespace {

struct Placed {
  const char* pointer;
  double value;
};

/// Adds a fault where neighbours are out of order, naming both places.
void check_order(std::initializer_list<Placed> rising, std::string_view unit, ReadContext& context) {
  const Placed* last = nullptr;
  for (const auto& entry : rising) {
    if (last != nullptr && entry.value < last->value) {
      context.add(entry.pointer, fmt::format("{} {} must not be below {} ({} {})", base::exact_text(entry.value), unit,
                                             last->pointer, base::exact_text(last->value), unit));
    }
    last = &entry;
  }
}

void check_rod(const RodForce& force, const Raw* raw, double stroke, const std::string& pointer,
               ReadContext& context) {
  const auto has = [&](const char* key) { return raw != nullptr && raw->find(key) != nullptr; };
  const auto want = [&](std::initializer_list<const char*> wanted, const char* shape) {
    for (const char* key : {"peak_N", "friction_N", "x_mm", "N"}) {
      bool wanted_here = false;
      for (const char* name : wanted) wanted_here = wanted_here || std::string_view(name) == key;
      if (wanted_here && !has(key)) {
        context.add(pointer_to(pointer, key), fmt::format("is missing (shape {} needs it)", shape));
      } else if (!wanted_here && has(key)) {
        context.add(pointer_to(pointer, key), fmt::format("does not belong to shape {}", shape));
      }
    }
  };
  if (raw == nullptr || raw->object() == nullptr || !has("shape")) return;
  const std::size_t faults = context.issues.size();
  if (force.shape == RodShape::steady) {
    want({"peak_N"}, "steady");
  } else if (force.shape == RodShape::over_centre) {
    want({"peak_N", "friction_N"}, "over_centre");
    if (context.issues.size() == faults && force.friction > force.peak) {
      context.add(pointer + "/friction_N", fmt::format("{} N must not be above {} ({} N)",
                                                       base::exact_text(force.friction), pointer + "/peak_N",
                                                       base::exact_text(force.peak)));
    }
  } else {
    want({"x_mm", "N"}, "table");
    if (context.issues.size() != faults || force.x.empty() || force.force.empty()) return;
    if (force.x.size() != force.force.size()) {
      context.add(pointer + "/N", fmt::format("has {} entries, x_mm has {}", force.force.size(), force.x.size()));
      return;
    }
    if (force.x.front() != 0) context.add(pointer + "/x_mm/0", "must be 0: the travel starts there");
    for (std::size_t k = 1; k < force.x.size(); ++k) {
      if (force.x[k] <= force.x[k - 1]) {
        context.add(pointer_to(pointer + "/x_mm", k),
                    fmt::format("{} must be above the entry before it ({})",
                                base::exact_text(to_file_unit(force.x[k], 1e-3)),
                                base::exact_text(to_file_unit(force.x[k - 1], 1e-3))));
        return;
      }
    }
    if (stroke > 0 && force.x.back() < stroke * (1 - 1e-9)) {
      context.add(pointer_to(pointer + "/x_mm", force.x.size() - 1),
                  fmt::format("{} mm must reach the door's stroke_mm ({})",
                              base::exact_text(to_file_unit(force.x.back(), 1e-3)),
                              base::exact_text(to_file_unit(stroke, 1e-3))));
    }
  }
}

void check_doors(const Job& job, const Raw* raw_doors, ReadContext& context) {
  std::map<std::string, std::size_t> names;
  for (std::size_t k = 0; k < job.doors.size(); ++k) {
    const Door& door = job.doors[k];
    const std::string pointer = pointer_to("/doors", k);
    const auto [place, fresh] = names.emplace(door.name, k);
    if (!fresh && !door.name.empty()) {
      context.add(pointer + "/name", fmt::format("\"{}\" is already the name of {}", base::printable(door.name),
                                                 pointer_to("/doors", place->second)));
    }
    const Raw* raw_door = raw_doors != nullptr && raw_doors->list() && k < raw_doors->list()->size()
                              ? &(*raw_doors->list())[k]
                              : nullptr;
    if (raw_door == nullptr) continue;
    check_rod(door.rod_force, raw_door->find("rod_force"), door.stroke, pointer + "/rod_force", context);
    if (door.rod_force_unlock) {
      check_rod(*door.rod_force_unlock, raw_door->find("rod_force_unlock"), door.stroke,
                pointer + "/rod_force_unlock", context);
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

PartPtr family_of(const PartPtr& fuse, const Catalogue& catalogue, const std::string& pointer, ReadContext& context) {
  if (!fuse) return nullptr;
  return look_up(std::get<Fuse>(fuse->body).family, "fuse_family", pointer, catalogue, context);
}

void resolve_parts(Study& study, ReadContext& context) {
  const Catalogue& parts = *study.catalogue;
  const Feed& feed = study.job.feed;
  study.feed.wire = resolve(feed.wire, "wire", "/feed/wire", "the wire of the feed", parts, context, study);
  study.feed.fuse = resolve(feed.fuse, "fuse", "/feed/fuse", "the main fuse", parts, context, study);
  study.feed.relay = resolve(feed.relay, "relay", "/feed/relay", "the relay", parts, context, study);
  study.feed.fuse_family = family_of(study.feed.fuse, parts, "/feed/fuse", context);
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
      chosen.fuse_family = family_of(chosen.fuse, parts, pointer + "/fuse", context);
    }
    if (chosen.actuator) {
      const auto& actuator = std::get<Actuator>(chosen.actuator->body);
      const std::size_t faults = context.issues.size();
      check_part_references(*chosen.actuator, pointer + "/actuator", parts, context);
      if (context.issues.size() == faults) chosen.curve = curve_of(actuator, parts);
    }
    study.doors.push_back(std::move(chosen));
  }
}

}  // namespace

base::Checked<Study> check_job(const Raw& raw, const std::string& file, const Catalogue& parts) {
  ReadContext context{file, {}};
  Study study;
  if (raw.object() == nullptr) {
    add_wrong_type(raw, "an object with latchwright_job", "", context);
    return context.issues;
  }
  check_version(raw, "latchwright_job", job_format_version, context);
  Job& job = study.job;
  read_record(raw, job_table(), "", context, job, {"latchwright_job"});

  const auto clean = [&context](std::string_view prefix) {
    for (const auto& issue : context.issues) {
      if (issue.pointer.starts_with(prefix)) return false;
    }
    return true;
  };
  if (clean("/supply")) {
    check_order({{"/supply/low_V", job.supply.low_V},
                 {"/supply/usual_V", job.supply.usual_V},
                 {"/supply/charge_V", job.supply.charge_V},
                 {"/supply/high_V", job.supply.high_V}},
                "V", context);
  }
  if (clean("/climate")) {
    check_order({{"/climate/cold_C", job.climate.cold_C},
                 {"/climate/usual_C", job.climate.usual_C},
                 {"/climate/hot_C", job.climate.hot_C}},
                "°C", context);
  }
  check_doors(job, raw.find("doors"), context);
  for (std::size_t k = 0; k < job.parts.size(); ++k) {
    const std::string pointer = pointer_to("/parts", k);
    if (clean(pointer + "/")) check_part(job.parts[k], pointer, context);
  }
  check_unique_ids(job.parts, "/parts", context);

  auto catalogue = std::make_shared<Catalogue>(parts);
  catalogue->add_layer(file, job.parts, "/parts");
  for (std::size_t k = 0; k < job.parts.size(); ++k) {
    const std::string pointer = pointer_to("/parts", k);
    if (clean(pointer + "/")) check_part_references(job.parts[k], pointer, *catalogue, context);
  }
  study.catalogue = std::move(catalogue);
  if (clean("/parts")) resolve_parts(study, context);
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
