// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QByteArray>
#include <QString>
#include <fstream>
#include <stdexcept>
#include <string>
#include <vector>

#include "desk/document.h"
#include "model/tree_edit.h"

// What tests of the window's document share.
namespace latchwright::tests {

using desk::Document;
using model::Raw;

inline QString example(const char* name) { return QString(LATCHWRIGHT_SOURCE_DIR "/docs/examples/") + name; }

inline const char* const examples[] = {"five-door-estate.json", "four-door-saloon.json", "taxi-open.json",
                                       "winter-van-open.json"};

inline base::Issues set(Document& document, const std::string& pointer, std::optional<Raw> value,
                        bool merge = false) {
  return document.edit({{pointer, std::move(value)}}, "edit", merge);
}

inline double number_at(const Document& document, const std::string& pointer) {
  const Raw* value = model::value_at(document.tree(), pointer);
  return value && value->number() ? *value->number() : -1e9;
}

inline QByteArray why(const Document& document, const std::string& pointer) {
  const auto found = document.refused().find(pointer);
  return found == document.refused().end() ? "not refused" : QByteArray::fromStdString(found->second.why);
}

inline Raw without_door(const Document& document, std::size_t index) {
  Raw::List doors = *model::value_at(document.tree(), "/doors")->list();
  doors.erase(doors.begin() + static_cast<std::ptrdiff_t>(index));
  return Raw(std::move(doors));
}

/// A part file with one wire.
inline void write_wire(const std::string& path, const std::string& id, const std::string& area = "2.5") {
  std::ofstream(path)
      << R"({"latchwright_parts": 1, "parts": [{"id": ")" << id
      << R"(", "kind": "wire", "title": "a wire", "source": {"kind": "invented"}, "area_mm2": )" << area
      << R"(, "mohm_per_m": 7.6, "outside_mm": 3.0, "class_C": 85, "short_time_C": 160}]})";
}

/// A study of the document's tree by the checker alone.
inline model::Study checked(const Document& document, const Raw& tree) {
  auto study = model::check_job(tree, "test", document.catalogue());
  if (!study.ok()) throw std::runtime_error(study.issues().front().line());
  return study.value();
}

}  // namespace latchwright::tests
