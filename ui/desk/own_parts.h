// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "desk/document.h"

// The parts that travel with a job: who refers to them, copies, new names.
namespace latchwright::desk {

/// Pointers of all references of the job, and of its own parts, that name this id.
std::vector<std::string> references_to(const model::Raw& tree, const std::string& id);
/// Where an own part with this id stands in /parts.
std::optional<std::size_t> own_part_index(const model::Raw& tree, const std::string& id);
/// An id that no part has yet, made from another: "relay-40-own", "relay-40-own-2".
std::string free_part_id(const model::Catalogue& parts, const std::string& id);
/// A copy of a part under another id, its origin noted.
model::Raw copied_part(const model::Part& part, const std::string& id);
/// /parts with one part more, or with one part less.
Edit with_part(const model::Raw& tree, model::Raw part);
Edit without_part(const model::Raw& tree, std::size_t index);
/// Another id for an own part, followed by what refers to it where the id can be taken.
std::vector<Edit> renamed(const model::Raw& tree, std::size_t index, const std::optional<model::Raw>& id);

}  // namespace latchwright::desk
