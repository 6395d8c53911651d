// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <set>

#include "texts.h"

namespace latchwright::texts {

using cli::OptionText;
using cli::ProgramText;
using cli::Takes;

namespace {

std::string joined(const std::vector<std::string>& words) { return fmt::format("{}", fmt::join(words, " ")); }

/// What the functions below are asked for: a word and its own words.
std::string request(const OptionText& option) {
  switch (option.takes) {
    case Takes::words:
      return "words " + joined(option.words);
    case Takes::file:
      return option.endings.empty() ? std::string("files") : "files " + joined(option.endings);
    case Takes::part:
      return "parts";
    case Takes::actuator:
      return "actuators";
    case Takes::door:
      return "doors";
    case Takes::nothing:
    case Takes::number:
    case Takes::text:
      break;
  }
  return "none";
}

std::string option_words(const std::vector<OptionText>& options) {
  std::string words;
  for (const auto& option : options) {
    for (const auto& name : option.names) {
      if (!words.empty()) words.push_back(' ');
      words += name;
    }
  }
  return words;
}

/// What depends on the program's options: small functions that print words.
std::string tables(const ProgramText& program, const PartIds& ids) {
  std::string verbs, options, values, arguments, repeated;
  for (const auto& verb : program.verbs) {
    verbs += " " + verb.name;
    options += fmt::format("    {}) echo '{}' ;;\n", verb.name, option_words(verb.options));
    for (const auto& option : verb.options) {
      if (option.takes == Takes::nothing) continue;
      for (const auto& name : option.names) {
        values += fmt::format("    {}:{}) echo '{}' ;;\n", verb.name, name, request(option));
        if (option.repeats) repeated += fmt::format("    {}:{}) return 0 ;;\n", verb.name, name);
      }
    }
    if (!verb.arguments.empty()) {
      const OptionText& argument = verb.arguments.front();
      arguments += fmt::format("    {}) echo '{} {}' ;;\n", verb.name, argument.repeats ? "many" : "one",
                               request(argument));
    }
  }
  return fmt::format(
      R"(_latchwright_verbs='{}'
_latchwright_actuators='{}'
_latchwright_parts='{}'

# Options of a verb; without one, those of the program.
_latchwright_options() {{
  case "$1" in
{}    *) echo '{}' ;;
  esac
}}

# What the value of an option is; fails where it takes none.
_latchwright_value() {{
  case "$1:$2" in
{}    *) return 1 ;;
  esac
}}

# How many arguments a verb takes, and what they are.
_latchwright_argument() {{
  case "$1" in
{}    *) return 1 ;;
  esac
}}

# Whether an option may be given again.
_latchwright_repeats() {{
  case "$1:$2" in
{}    *) return 1 ;;
  esac
}}
)",
      verbs.substr(1), words_of(ids, "actuator"), words_of(ids, ""), options, option_words(program.options),
      values, arguments, repeated);
}

}  // namespace

Fields bash_fields(const ProgramText& program, const PartIds& ids) {
  return {{"TABLES", tables(program, ids)}};
}

Fields bash_fields(const ProgramText& desk) {
  return {{"TABLES", fmt::format("_latchwright_desk_options='{}'\n", option_words(desk.options))}};
}

}  // namespace latchwright::texts
