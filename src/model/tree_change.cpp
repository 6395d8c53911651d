// SPDX-License-Identifier: GPL-3.0-or-later
#include "model/tree_change.h"

#include <algorithm>
#include <utility>

#include "model/field.h"
#include "model/tree_edit.h"

namespace latchwright::model {

namespace {

void collect(const Raw& from, const Raw& to, const std::string& pointer, TreeChanges& found);

void collect_members(const Raw& from, const Raw& to, const std::string& pointer, TreeChanges& found) {
  for (const auto& [key, value] : *from.object()) {
    const std::string place = pointer_to(pointer, key);
    if (const Raw* then = to.find(key)) {
      collect(value, *then, place, found);
    } else {
      found.push_back({place, value, std::nullopt, {}});
    }
  }
  for (const auto& [key, value] : *to.object()) {
    if (from.find(key) == nullptr) found.push_back({pointer_to(pointer, key), std::nullopt, value, {}});
  }
}

/// Lists of different length: what lies between their equal heads and tails.
void collect_stretch(const Raw::List& from, const Raw::List& to, const std::string& pointer,
                     TreeChanges& found) {
  const std::size_t shorter = std::min(from.size(), to.size());
  std::size_t head = 0, tail = 0;
  while (head < shorter && same(from[head], to[head])) ++head;
  while (tail < shorter - head && same(from[from.size() - 1 - tail], to[to.size() - 1 - tail])) ++tail;
  const auto stretch = [head, tail](const Raw::List& list) {
    return Raw::List(list.begin() + static_cast<std::ptrdiff_t>(head),
                     list.end() - static_cast<std::ptrdiff_t>(tail));
  };
  found.push_back({pointer, Raw(stretch(from)), Raw(stretch(to)), head});
}

void collect(const Raw& from, const Raw& to, const std::string& pointer, TreeChanges& found) {
  if (from.object() && to.object()) {
    collect_members(from, to, pointer, found);
  } else if (from.list() && to.list() && from.list()->size() != to.list()->size()) {
    collect_stretch(*from.list(), *to.list(), pointer, found);
  } else if (from.list() && to.list()) {
    for (std::size_t k = 0; k < from.list()->size(); ++k) {
      collect((*from.list())[k], (*to.list())[k], pointer_to(pointer, k), found);
    }
  } else if (!same(from, to)) {
    found.push_back({pointer, from, to, {}});
  }
}

bool apply(Raw& tree, const TreeChange& change, bool forwards) {
  const std::optional<Raw>& put = forwards ? change.after : change.before;
  if (!change.at) return set_value(tree, change.pointer, put);
  const Raw* place = value_at(tree, change.pointer);
  if (place == nullptr || place->list() == nullptr) return false;
  const Raw::List& old = *(forwards ? change.before : change.after)->list();
  Raw::List list = *place->list();
  if (*change.at + old.size() > list.size()) return false;
  const auto start = list.begin() + static_cast<std::ptrdiff_t>(*change.at);
  const auto rest = list.erase(start, start + static_cast<std::ptrdiff_t>(old.size()));
  list.insert(rest, put->list()->begin(), put->list()->end());
  return set_value(tree, change.pointer, Raw(std::move(list)));
}

/// What a text takes beside its own size.
std::size_t outside(const std::string& text) {
  return text.capacity() > std::string().capacity() ? text.capacity() + 1 : 0;
}

std::size_t outside(const Raw& value) {
  std::size_t bytes = 0;
  if (const auto* text = value.text()) return outside(*text);
  if (const auto* list = value.list()) {
    bytes = list->capacity() * sizeof(Raw);
    for (const Raw& item : *list) bytes += outside(item);
  } else if (const auto* members = value.object()) {
    bytes = members->capacity() * sizeof(Raw::Object::value_type);
    for (const auto& [key, member] : *members) bytes += outside(key) + outside(member);
  }
  return bytes;
}

/// What people call an item of a list; empty where it has no name.
std::string name_of(const Raw& item) {
  for (const char* key : {"name", "id"}) {
    if (const Raw* value = item.find(key); value != nullptr && value->text() != nullptr)
      return *value->text();
  }
  return {};
}

std::optional<std::size_t> moved_index(const Raw::List& from, const Raw::List& to, std::size_t index) {
  const std::string name = name_of(from[index]);
  const bool stays = index < to.size() && name_of(to[index]) == name;
  if (stays) return index;
  const auto found = std::find_if(to.begin(), to.end(),
                                  [&](const Raw& item) { return !name.empty() && name_of(item) == name; });
  if (found != to.end()) return static_cast<std::size_t>(found - to.begin());
  // As many as before: it has another name now.
  return from.size() == to.size() ? std::optional(index) : std::nullopt;
}

}  // namespace

bool same(const Raw& a, const Raw& b) {
  if (a.type_name() != b.type_name()) return false;
  if (const auto* number = a.number()) return *number == *b.number();
  if (const auto* text = a.text()) return *text == *b.text();
  if (const auto* truth = a.boolean()) return *truth == *b.boolean();
  if (const auto* list = a.list())
    return std::equal(list->begin(), list->end(), b.list()->begin(), b.list()->end(), same);
  if (const auto* members = a.object()) {
    if (members->size() != b.object()->size()) return false;
    return std::all_of(members->begin(), members->end(), [&](const auto& member) {
      const Raw* other = b.find(member.first);
      return other != nullptr && same(member.second, *other);
    });
  }
  return true;
}

TreeChanges changes_between(const Raw& from, const Raw& to) {
  TreeChanges found;
  collect(from, to, "", found);
  return found;
}

bool apply_changes(Raw& tree, const TreeChanges& changes, bool forwards) {
  return std::all_of(changes.begin(), changes.end(),
                     [&](const TreeChange& change) { return apply(tree, change, forwards); });
}

std::size_t stored_bytes(const TreeChanges& changes) {
  std::size_t bytes = changes.capacity() * sizeof(TreeChange);
  for (const TreeChange& change : changes) {
    bytes += outside(change.pointer);
    if (change.before) bytes += outside(*change.before);
    if (change.after) bytes += outside(*change.after);
  }
  return bytes;
}

void keep_figures(Raw& written, const Raw& typed) {
  if (written.number() && typed.number()) {
    written = typed;
  } else if (auto* members = written.object(); members && typed.object()) {
    for (auto& [key, value] : *members) {
      if (const Raw* other = typed.find(key)) keep_figures(value, *other);
    }
  } else if (auto* items = written.list(); items && typed.list()) {
    for (std::size_t k = 0; k < std::min(items->size(), typed.list()->size()); ++k) {
      keep_figures((*items)[k], (*typed.list())[k]);
    }
  }
}

std::optional<std::string> moved_pointer(const Raw& from, const Raw& to, std::string_view pointer) {
  std::string moved;
  for (std::size_t start = 0; start < pointer.size();) {
    const auto end = std::min(pointer.find('/', start + 1), pointer.size());
    const Raw* owner = value_at(from, pointer.substr(0, start));
    const Raw* owner_then = value_at(to, moved);
    if (owner == nullptr || owner_then == nullptr) return std::nullopt;
    if (owner->list() && owner_then->list()) {
      const Raw* item = value_at(from, pointer.substr(0, end));
      if (item == nullptr) return std::nullopt;
      const auto index = static_cast<std::size_t>(item - owner->list()->data());
      const auto index_then = moved_index(*owner->list(), *owner_then->list(), index);
      if (!index_then) return std::nullopt;
      moved = pointer_to(moved, *index_then);
    } else {
      if (owner->object() == nullptr || owner_then->object() == nullptr) return std::nullopt;
      moved += pointer.substr(start, end - start);
    }
    start = end;
  }
  return moved;
}

}  // namespace latchwright::model
