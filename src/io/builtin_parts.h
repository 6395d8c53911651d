// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <span>
#include <string_view>

namespace latchwright::io {

/// One file of the catalogue as it stood when the program was built.
struct BuiltinFile {
  std::string_view name;  ///< as in the source tree: "parts/wires.json"
  std::string_view text;  ///< the file's bytes, UTF-8 JSON; lives as long as the program
};

/// The catalogue inside the program: every parts/*.json, in order of name.
std::span<const BuiltinFile> builtin_part_files();

}  // namespace latchwright::io
