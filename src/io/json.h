// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "base/issue.h"
#include "model/raw.h"

namespace latchwright::io {

// Limits of what is read at all, so that no file can exhaust the machine.
inline constexpr std::size_t most_bytes = 32u << 20;  ///< of one file
inline constexpr std::size_t most_depth = 32;         ///< of nested objects and lists
inline constexpr std::size_t most_values = 2'000'000;

/// JSON text (UTF-8, with or without byte order mark, any line ends) to a tree. Faults: not JSON (with line and
/// column), the same key twice in one object, too deep, too many values. `file` is only for the fault texts.
base::Checked<model::Raw> parse_json(std::string_view text, const std::string& file);

/// Reads and parses a file. Faults: cannot be read, no regular file, too large, and those of parse_json.
base::Checked<model::Raw> read_json_file(const std::string& path);

/// JSON text of a tree: two spaces a level, short lists on one line, a line end after the last brace. Numbers read
/// back to the same double; NaN or infinity are a fault of the program (absent figures are null).
std::string write_json(const model::Raw& tree);

}  // namespace latchwright::io
