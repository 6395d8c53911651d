// SPDX-License-Identifier: GPL-3.0-or-later
#include "model/tree_edit.h"

#include <algorithm>
#include <string>
#include <utility>

namespace latchwright::model {

namespace {

/// Takes the first key off a pointer, without its escapes. Nothing where it is not written as RFC 6901 has
/// it.
std::optional<std::string> take_key(std::string_view& pointer) {
  if (pointer.empty() || pointer.front() != '/') return std::nullopt;
  const auto end = std::min(pointer.find('/', 1), pointer.size());
  std::string key;
  for (std::size_t k = 1; k < end; ++k) {
    if (pointer[k] != '~') {
      key.push_back(pointer[k]);
      continue;
    }
    if (++k == end || (pointer[k] != '0' && pointer[k] != '1')) return std::nullopt;
    key.push_back(pointer[k] == '0' ? '~' : '/');
  }
  pointer.remove_prefix(end);
  return key;
}

/// Where an item of a list stands: digits, no zeros in front.
std::optional<std::size_t> index_of(const std::string& key, std::size_t size) {
  constexpr std::size_t most_digits = 9;
  if (key.empty() || key.size() > most_digits || (key.size() > 1 && key.front() == '0')) return std::nullopt;
  if (key.find_first_not_of("0123456789") != std::string::npos) return std::nullopt;
  const std::size_t index = std::stoul(key);
  return index < size ? std::optional(index) : std::nullopt;
}

template <class Tree>
Tree* inside(Tree& owner, const std::string& key) {
  if (auto* members = owner.object()) {
    for (auto& [name, value] : *members) {
      if (name == key) return &value;
    }
  } else if (auto* items = owner.list()) {
    if (const auto index = index_of(key, items->size())) return &(*items)[*index];
  }
  return nullptr;
}

template <class Tree>
Tree* walk(Tree& tree, std::string_view pointer) {
  Tree* place = &tree;
  while (place != nullptr && !pointer.empty()) {
    const auto key = take_key(pointer);
    if (!key) return nullptr;
    place = inside(*place, *key);
  }
  return place;
}

}  // namespace

const Raw* value_at(const Raw& tree, std::string_view pointer) { return walk(tree, pointer); }

bool set_value(Raw& tree, std::string_view pointer, std::optional<Raw> value) {
  if (pointer.empty()) {
    if (!value) return false;
    tree = std::move(*value);
    return true;
  }
  const auto last = pointer.rfind('/');
  if (last == std::string_view::npos) return false;
  std::string_view rest = pointer.substr(last);
  const auto key = take_key(rest);
  Raw* owner = key ? walk(tree, pointer.substr(0, last)) : nullptr;
  if (owner == nullptr) return false;
  Raw* place = inside(*owner, *key);
  if (place != nullptr && value) {
    *place = std::move(*value);
    return true;
  }
  if (auto* members = owner->object()) {
    if (value) {
      members->emplace_back(*key, std::move(*value));
    } else {
      std::erase_if(*members, [&](const auto& member) { return member.first == *key; });
    }
    return true;
  }
  if (place == nullptr) return false;
  owner->list()->erase(owner->list()->begin() + (place - owner->list()->data()));
  return true;
}

}  // namespace latchwright::model
