// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/own_parts.h"

#include <QCoreApplication>
#include <algorithm>

#include "model/part_fields.h"
#include "model/tree_edit.h"

namespace latchwright::desk {

using model::Raw;

namespace {

const Raw::List* list_at(const Raw& tree, const char* key) {
  const Raw* value = tree.find(key);
  return value ? value->list() : nullptr;
}

bool is_id(const Raw* value, const std::string& id) { return value && value->text() && *value->text() == id; }

std::string id_of(const Raw& part) {
  const Raw* id = part.find("id");
  return id && id->text() ? *id->text() : std::string();
}

}  // namespace

std::vector<std::string> references_to(const Raw& tree, const std::string& id) {
  std::vector<std::string> found;
  const auto look = [&](const std::string& pointer) {
    if (is_id(model::value_at(tree, pointer), id)) found.push_back(pointer);
  };
  for (const char* pointer : {"/feed/wire", "/feed/fuse", "/feed/relay"}) look(pointer);
  const Raw::List* doors = list_at(tree, "doors");
  for (std::size_t k = 0; doors && k < doors->size(); ++k) {
    for (const char* key : {"/actuator", "/wire", "/fuse"}) look(model::pointer_to("/doors", k) + key);
  }
  const Raw::List* parts = list_at(tree, "parts");
  for (std::size_t k = 0; parts && k < parts->size(); ++k) {
    for (const char* key : {"/family", "/ptc/curve"}) look(model::pointer_to("/parts", k) + key);
  }
  return found;
}

std::optional<std::size_t> own_part_index(const Raw& tree, const std::string& id) {
  const Raw::List* parts = list_at(tree, "parts");
  for (std::size_t k = 0; parts && k < parts->size(); ++k) {
    if (id_of((*parts)[k]) == id) return k;
  }
  return std::nullopt;
}

std::string free_part_id(const model::Catalogue& parts, const std::string& id) {
  constexpr std::size_t longest = 56;  // of 64, so that a number goes behind it
  // A copy of a copy does not get a longer name each time.
  const std::size_t suffix = id.rfind("-own");
  std::string wanted = id.substr(0, std::min(longest, suffix)) + "-own";
  const std::string stem = wanted;
  for (int k = 2; parts.find(wanted); ++k) wanted = stem + "-" + std::to_string(k);
  return wanted;
}

Raw copied_part(const model::Part& part, const std::string& id) {
  model::Part copy = part;
  copy.id = id;
  const std::string note = QCoreApplication::translate("latchwright::desk::OwnParts", "Copied from %1.")
                               .arg(QString::fromStdString(part.id))
                               .toStdString();
  copy.source.note = copy.source.note.empty() ? note : note + " " + copy.source.note;
  constexpr std::size_t longest = 4000;  // a copy of a copy of a long note
  if (QString::fromStdString(copy.source.note).size() > static_cast<qsizetype>(longest)) {
    copy.source.note = part.source.note;
  }
  return model::write_part(copy);
}

Edit with_part(const Raw& tree, Raw part) {
  Raw::List list;
  if (const Raw::List* parts = list_at(tree, "parts")) list = *parts;
  list.push_back(std::move(part));
  return {"/parts", Raw(std::move(list))};
}

Edit without_part(const Raw& tree, std::size_t index) {
  Raw::List list;
  if (const Raw::List* parts = list_at(tree, "parts")) list = *parts;
  if (index < list.size()) list.erase(list.begin() + static_cast<std::ptrdiff_t>(index));
  if (list.empty()) return {"/parts", std::nullopt};
  return {"/parts", Raw(std::move(list))};
}

std::vector<Edit> renamed(const Raw& tree, std::size_t index, const std::optional<Raw>& id) {
  const std::string place = model::pointer_to("/parts", index);
  std::vector<Edit> edits{{place + "/id", id}};
  const Raw* part = model::value_at(tree, place);
  if (part == nullptr || !id || id->text() == nullptr) return edits;
  // An id that cannot be taken is refused at its own field only.
  model::ReadContext context;
  const auto* row = model::part_table().find("id");
  const bool lawful = model::read_text(*id, row->info, "", context).has_value();
  if (!lawful || own_part_index(tree, *id->text())) return edits;
  for (const std::string& pointer : references_to(tree, id_of(*part))) edits.push_back({pointer, id});
  return edits;
}

}  // namespace latchwright::desk
