// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "texts.h"

namespace latchwright::texts {

using cli::OptionText;
using cli::ProgramText;
using cli::Takes;

namespace {

std::string quoted(const std::string& text) {
  std::string out;
  for (const char letter : text) {
    if (letter == '\\' || letter == '\'') out.push_back('\\');
    out.push_back(letter);
  }
  return "'" + out + "'";
}

std::string joined(const std::vector<std::string>& words) { return fmt::format("{}", fmt::join(words, " ")); }

/// What is offered for a value; empty for what only the user can know.
std::string offer(const OptionText& option) {
  switch (option.takes) {
    case Takes::words:
      return quoted(joined(option.words));
    case Takes::file: {
      if (option.endings.empty()) return "'(__fish_complete_path (commandline -ct))'";
      std::string endings;
      for (const auto& ending : option.endings) endings += " ." + ending;
      return quoted("(__latchwright_files" + endings + ")");
    }
    case Takes::part:
      return "'(__latchwright_parts)'";
    case Takes::actuator:
      return "'(__latchwright_actuators)'";
    case Takes::door:
      return "'(__latchwright_doors)'";
    case Takes::nothing:
    case Takes::number:
    case Takes::text:
      break;
  }
  return "";
}

std::string line(const std::string& command, const std::string& condition, const OptionText& option) {
  std::string out = "complete -c " + command;
  if (!condition.empty()) out += " -n " + quoted(condition);
  for (const auto& name : option.names) {
    out += name.starts_with("--") ? " -l " + name.substr(2) : " -s " + name.substr(1);
  }
  if (option.takes != Takes::nothing) {
    out += " -x";
    if (const std::string values = offer(option); !values.empty()) out += " -a " + values;
  }
  return out + " -d " + quoted(option.text) + "\n";
}

std::string argument(const std::string& command, const std::string& condition, const OptionText& option) {
  return "complete -c " + command + (condition.empty() ? "" : " -n " + quoted(condition)) + " -a " +
         offer(option) + "\n";
}

}  // namespace

Fields fish_fields(const ProgramText& program, const PartIds& ids) {
  std::string out;
  for (const auto& option : program.options) out += line("latchwright", "__latchwright_no_verb", option);
  for (const auto& verb : program.verbs) {
    out += fmt::format("complete -c latchwright -n __latchwright_no_verb -a {} -d {}\n", verb.name,
                       quoted(first_clause(verb.text)));
  }
  for (const auto& verb : program.verbs) {
    const std::string condition = "__latchwright_verb " + verb.name;
    out.push_back('\n');
    for (const auto& option : verb.options) out += line("latchwright", condition, option);
    for (const auto& option : verb.arguments) out += argument("latchwright", condition, option);
  }
  return {{"PARTS", words_of(ids, "")}, {"ACTUATORS", words_of(ids, "actuator")}, {"LINES", out}};
}

Fields fish_fields(const ProgramText& desk) {
  std::string out;
  for (const auto& option : desk.options) out += line("latchwright-desk", "", option);
  return {{"LINES", out}};
}

}  // namespace latchwright::texts
