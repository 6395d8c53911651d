// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <map>
#include <string>
#include <vector>

#include "cli/describe.h"

// Manual pages and what shells complete, written from the programs' own options.
namespace latchwright::texts {

/// Ids of the catalogue by kind of part.
using PartIds = std::map<std::string, std::vector<std::string>>;

/// What `latchwright-desk --help` prints, taken apart. Throws std::runtime_error where it cannot be read.
cli::ProgramText read_desk_help(const std::string& help, const std::string& version);

/// groff's man macros, ASCII only.
std::string man_page(const cli::ProgramText& program);
std::string desk_man_page(const cli::ProgramText& desk);

/// What stands in a template between two @: "TABLES" for @TABLES@.
using Fields = std::map<std::string, std::string>;
/// The template with its fields put in. Throws std::runtime_error where one is not there.
std::string filled(const std::string& text, const Fields& fields);

// Of each pair the second is for the window's template.
Fields bash_fields(const cli::ProgramText& program, const PartIds& ids);
Fields bash_fields(const cli::ProgramText& desk);
Fields zsh_fields(const cli::ProgramText& program, const PartIds& ids);
Fields zsh_fields(const cli::ProgramText& desk);
Fields fish_fields(const cli::ProgramText& program, const PartIds& ids);
Fields fish_fields(const cli::ProgramText& desk);

/// The ids of one kind, of all without, parted by blanks.
std::string words_of(const PartIds& ids, const std::string& kind);

/// "Every check of a job at every condition": the first clause of a text, for lists of one line an entry.
std::string first_clause(const std::string& text);

/// The first words of every generated file: that nobody edits it.
inline constexpr const char* written_by = "Written from the program's own options when it was built.";

}  // namespace latchwright::texts
