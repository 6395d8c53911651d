// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string_view>

#include "model/raw.h"

// Single values of a raw tree by JSON pointer (RFC 6901, escapes ~0 and ~1).
namespace latchwright::model {

/// The value at the pointer; null pointer where there is none.
const Raw* value_at(const Raw& tree, std::string_view pointer);

/// Sets the value at the pointer; a member of an object that is not there is added at its end. No value takes
/// the member or the item of a list away. False, and nothing changed, where the way to it does not exist or a
/// list has no such item.
bool set_value(Raw& tree, std::string_view pointer, std::optional<Raw> value);

}  // namespace latchwright::model
