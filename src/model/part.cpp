// SPDX-License-Identifier: GPL-3.0-or-later
#include <type_traits>

#include "model/part_fields.h"

// Reading and writing a part as a whole: the common rows, then those of its kind, side by side in one object.
namespace latchwright::model {

namespace {

template <class Visit>
bool with_body_table(std::string_view kind, Visit&& visit) {
  if (kind == "actuator") {
    visit(actuator_table());
  } else if (kind == "ptc_curve") {
    visit(ptc_curve_table());
  } else if (kind == "wire") {
    visit(wire_table());
  } else if (kind == "fuse") {
    visit(fuse_table());
  } else if (kind == "fuse_family") {
    visit(fuse_family_table());
  } else if (kind == "relay") {
    visit(relay_table());
  } else {
    return false;
  }
  return true;
}

template <class R>
R record_type(const Table<R>&);

void collect_numbers(const RecordInfo& info, const std::string& pointer, std::vector<std::string>& pointers) {
  for (const auto& field : info.fields) {
    const std::string place = pointer + "/" + field.key;
    if (field.kind == FieldKind::number) pointers.push_back(place);
    if (field.kind == FieldKind::record) collect_numbers(*field.child, place, pointers);
  }
}

std::vector<std::string> keys_of(const RecordInfo& info) {
  std::vector<std::string> keys;
  for (const auto& field : info.fields) keys.push_back(field.key);
  return keys;
}

}  // namespace

const char* kind_of(const Part& part) { return part_kinds()[part.body.index()].c_str(); }

const RecordInfo* part_body_info(std::string_view kind) {
  const RecordInfo* info = nullptr;
  with_body_table(kind, [&](const auto& table) { info = &table.info(); });
  return info;
}

const std::vector<std::string>& actuator_number_pointers() {
  static const std::vector<std::string> pointers = [] {
    std::vector<std::string> list;
    collect_numbers(actuator_table().info(), "", list);
    return list;
  }();
  return pointers;
}

void read_part(const Raw& raw, const std::string& pointer, ReadContext& context, Part& part) {
  if (raw.object() == nullptr) {
    add_wrong_type(raw, "an object", pointer, context);
    return;
  }
  const Field<Part>& kind_row = *part_table().find("kind");
  const Raw* kind_raw = raw.find("kind");
  std::optional<std::string> kind;
  if (kind_raw == nullptr) {
    add_missing(kind_row.info, pointer_to(pointer, "kind"), context);
  } else {
    kind = read_text(*kind_raw, kind_row.info, pointer_to(pointer, "kind"), context);
  }
  // Unknown keys are named once, and only where the kind says what is known.
  std::vector<std::string> everything;
  for (const auto& [key, value] : *raw.object()) everything.push_back(key);
  if (!kind) {
    Raw::Object rest;
    for (const auto& member : *raw.object()) {
      if (member.first != "kind") rest.push_back(member);
    }
    rest.emplace_back("kind", Raw());  // its fault is named already
    read_record(Raw(std::move(rest)), part_table(), pointer, context, part, everything);
    return;
  }
  with_body_table(*kind, [&](const auto& table) {
    using Body = decltype(record_type(table));
    read_record(raw, part_table(), pointer, context, part, keys_of(table.info()));
    Body body;
    read_record(raw, table, pointer, context, body, everything);
    part.body = std::move(body);
  });
}

Raw write_part(const Part& part) {
  Raw::Object members = write_record(part, part_table());
  std::visit(
      [&](const auto& body) {
        with_body_table(kind_of(part), [&](const auto& table) {
          using Body = decltype(record_type(table));
          if constexpr (std::is_same_v<Body, std::decay_t<decltype(body)>>) {
            for (auto& member : write_record(body, table)) members.push_back(std::move(member));
          }
        });
      },
      part.body);
  return Raw(std::move(members));
}

}  // namespace latchwright::model
