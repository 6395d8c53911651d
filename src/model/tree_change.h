// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/raw.h"

// What differs between two raw trees, as small as it can be kept, to be done and undone.
namespace latchwright::model {

/// One value that differs, or a stretch of a list that was taken out, put in or replaced.
struct TreeChange {
  std::string pointer;
  std::optional<Raw> before, after;  ///< nothing: no such member
  std::optional<std::size_t> at;     ///< a stretch of the list at `pointer`: before and after are its items
};

using TreeChanges = std::vector<TreeChange>;

/// The same values; members of objects in any order.
bool same(const Raw& a, const Raw& b);

/// What makes `to` out of `from`, but for the order of members. No place is named twice or lies within
/// another.
TreeChanges changes_between(const Raw& from, const Raw& to);

/// Makes the changes, forwards or back. False where one does not fit; the tree is then half changed.
bool apply_changes(Raw& tree, const TreeChanges& changes, bool forwards);

/// Bytes that the changes keep, with what their texts and lists take.
std::size_t stored_bytes(const TreeChanges& changes);

/// Puts the figures of `typed` where `written` has a figure at the same place: the writer rounds to 15
/// digits.
void keep_figures(Raw& written, const Raw& typed);

/// Where the value at a pointer into `from` stands in `to`: items of lists are followed by their name or id,
/// so that a door is still the same one when another was taken out before it. Nothing where it is gone.
std::optional<std::string> moved_pointer(const Raw& from, const Raw& to, std::string_view pointer);

}  // namespace latchwright::model
