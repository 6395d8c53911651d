// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "base/issue.h"
#include "model/raw.h"

// One row per key of a record: its unit in a file, permitted range, default, meaning, and how it gets into and out
// of the record. The loader, the checker, the writer, the JSON Schemas, forms and the reference all read these rows.
namespace latchwright::model {

enum class FieldKind {
  number,
  whole,        ///< a number without a fraction
  text,         ///< free text
  identifier,   ///< an id of letters, digits, dots, hyphens and underscores
  choice,       ///< one of a few words
  reference,    ///< an id of a part, or null where it is still to be chosen
  number_list,
  gate_list,    ///< numbers or null
  record,
  record_list,
  curve,        ///< a record in place or the id of a ptc_curve part
  tolerances,   ///< an object: pointer within the part -> relative half-width
  parts,        ///< a list of parts
};

struct RecordInfo;

struct FieldInfo {
  std::string key;
  FieldKind kind = FieldKind::number;
  std::string unit;      ///< as a person writes it; empty for pure numbers and texts
  double low = 0;        ///< smallest permitted value, in the file's unit (also of list items)
  double high = 0;       ///< largest permitted value; for texts the longest permitted length
  bool required = true;
  std::optional<double> fallback;  ///< the value when the key is absent, in the file's unit
  std::string meaning;
  bool many_lines = false;  ///< of a text: may hold line ends and tabs
  std::vector<std::string> choices;
  std::vector<double> values;  ///< the only permitted numbers, where there are few
  std::size_t min_items = 0;  ///< of a list
  std::size_t max_items = 0;
  const RecordInfo* child = nullptr;
};

/// The rows of one record without its C++ type, for schemas, forms and the reference.
struct RecordInfo {
  std::string name;
  std::vector<FieldInfo> fields;
};

/// Where faults go while a file is read.
struct ReadContext {
  std::string file;
  base::Issues issues;

  void add(const std::string& pointer, std::string text) { issues.push_back({file, pointer, std::move(text)}); }
  /// No fault at the place itself or below it.
  bool clean(const std::string& pointer) const;
};

/// `pointer/key` with the escapes of RFC 6901.
std::string pointer_to(const std::string& pointer, std::string_view key);
std::string pointer_to(const std::string& pointer, std::size_t index);

template <class R>
struct Field {
  FieldInfo info;
  /// Takes the value at `pointer` into the record or adds to the context's faults.
  std::function<void(const Raw&, const std::string& pointer, ReadContext&, R&)> read;
  /// The value as a file holds it; nothing where the record leaves the key out.
  std::function<std::optional<Raw>(const R&)> write;
  /// For numbers only, in the file's unit.
  std::function<std::optional<double>(const R&)> get;
  std::function<void(R&, double)> set;
};

template <class R>
class Table {
 public:
  Table(std::string name, std::vector<Field<R>> fields) : fields_(std::move(fields)) {
    info_.name = std::move(name);
    for (const auto& field : fields_) info_.fields.push_back(field.info);
  }

  const std::vector<Field<R>>& fields() const { return fields_; }
  const RecordInfo& info() const { return info_; }
  const Field<R>* find(std::string_view key) const {
    for (const auto& field : fields_) {
      if (field.info.key == key) return &field;
    }
    return nullptr;
  }

 private:
  std::vector<Field<R>> fields_;
  RecordInfo info_;
};

// What the rows share, independent of the record's type (field.cpp).
std::optional<double> read_number(const Raw&, const FieldInfo&, const std::string& pointer, ReadContext&);
std::optional<std::string> read_text(const Raw&, const FieldInfo&, const std::string& pointer, ReadContext&);
std::optional<std::vector<std::optional<double>>> read_list(const Raw&, const FieldInfo&,
                                                            const std::string& pointer, ReadContext&);
/// An SI value as a file holds it: back in the file's unit, without the conversion's rounding noise.
double to_file_unit(double si, double scale);
void add_wrong_type(const Raw&, std::string_view wanted, const std::string& pointer, ReadContext&);
void add_unknown_key(const std::string& key, const std::vector<std::string>& known, const std::string& pointer,
                     ReadContext&);
std::string range_text(const FieldInfo&);
void add_missing(const FieldInfo&, const std::string& pointer, ReadContext&);
/// "13 entries", "1 entry".
std::string entries_text(std::size_t count);

/// Reads an object into a record: every unknown, missing, mistyped or out-of-range key is a fault of its own.
/// `also_known`: keys of the same object that another table reads.
template <class R>
void read_record(const Raw& raw, const Table<R>& table, const std::string& pointer, ReadContext& context,
                 R& record, const std::vector<std::string>& also_known = {}) {
  const Raw::Object* members = raw.object();
  if (members == nullptr) {
    add_wrong_type(raw, "an object", pointer, context);
    return;
  }
  for (const auto& field : table.fields()) {
    if (const Raw* value = raw.find(field.info.key)) {
      field.read(*value, pointer_to(pointer, field.info.key), context, record);
    } else if (field.info.required) {
      add_missing(field.info, pointer_to(pointer, field.info.key), context);
    } else if (field.info.fallback && field.set) {
      field.set(record, *field.info.fallback);
    } else if (field.info.kind == FieldKind::record && field.info.fallback) {
      field.read(Raw(Raw::Object{}), pointer_to(pointer, field.info.key), context, record);
    }
  }
  std::vector<std::string> known = also_known;
  for (const auto& field : table.fields()) known.push_back(field.info.key);
  for (const auto& [key, value] : *members) {
    bool found = false;
    for (const auto& name : known) found = found || name == key;
    if (!found) add_unknown_key(key, known, pointer_to(pointer, key), context);
  }
}

/// The record as a file holds it, keys in the table's order.
template <class R>
Raw::Object write_record(const R& record, const Table<R>& table) {
  Raw::Object members;
  for (const auto& field : table.fields()) {
    if (auto value = field.write(record)) members.emplace_back(field.info.key, std::move(*value));
  }
  return members;
}

}  // namespace latchwright::model
