// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <CLI/CLI.hpp>
#include <string>
#include <vector>

#include "cli/options.h"
#include "model/field.h"

// What options take, and the options that verbs share.
namespace latchwright::cli {

/// What stands under every help.
inline constexpr const char* footer =
    "A cycle is lock plus unlock. Exit code: 0 ran, 1 ran and something fails (check and size only), 2 bad\n"
    "input or usage, 3 a study that cannot be solved, 130 interrupted.\n"
    "Battery off before you open the wiring; leave airbag circuits alone; every door must open by hand.";

/// Verbs and options of the whole program; values go to `options` when the command line is parsed.
void declare_options(CLI::App& app, Options& options);

// A value's check says what it takes: its name is one of these, its description the range ("0.1 to 36000 s") or the
// words ("hatch, saloon"), for describe_program().
inline constexpr const char* number_check = "number";
inline constexpr const char* words_check = "words";
inline constexpr const char* between_words = ", ";

/// Takes a number in plain decimal notation within the range of a row.
CLI::Validator number_within(const model::FieldInfo& info);

/// The same, of the field table's row that the option stands for.
template <class R>
CLI::Validator in_range(const model::Table<R>& table, const char* key) {
  return number_within(table.find(key)->info);
}

/// The same, where no table has a row.
CLI::Validator between(double low, double high, const char* unit,
                       model::FieldKind kind = model::FieldKind::number);

/// Takes one of a few words.
CLI::Validator one_of(const std::vector<std::string>& words);

/// open_line, or OL as a meter writes it, in any case.
bool is_open_line(const std::string& text);

/// Takes a number within a row's range, or the word for a line that a meter shows as open ("OL" on its
/// display).
CLI::Validator number_or_open(const model::FieldInfo& info);

/// Takes what may be a value at all: an option that follows at once is none.
CLI::Validator a_value();

/// Takes the name of a file to be written.
CLI::Validator a_file_to_write();

/// Takes a day of the calendar, year first: "2026-03-31" (ISO 8601).
CLI::Validator a_day();

/// Parts, kinds of results, quiet. replace: the flag that lets files be replaced; `fit` has a force of its
/// own.
void add_common(CLI::App& verb, Options& options, bool tables, const char* replace = "--force");

}  // namespace latchwright::cli
