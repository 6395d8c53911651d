// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "texts.h"

namespace latchwright::texts {

using cli::OptionText;
using cli::ProgramText;
using cli::Takes;

namespace {

/// Text within single quotes, where `also` has a meaning of its own and is escaped.
std::string quoted(const std::string& text, const std::string& also) {
  std::string out;
  for (const char letter : text) {
    if (letter == '\'') {
      out += "'\\''";
      continue;
    }
    if (letter == '\\' || also.find(letter) != std::string::npos) out.push_back('\\');
    out.push_back(letter);
  }
  return out;
}

std::string joined(const std::vector<std::string>& words, const char* between = " ") {
  return fmt::format("{}", fmt::join(words, between));
}

/// What completes a value, as the last field of a specification.
std::string action(const OptionText& option) {
  switch (option.takes) {
    case Takes::words:
      return "(" + joined(option.words) + ")";
    case Takes::file:
      return option.endings.empty() ? std::string("_files")
                                    : "_files -g \"*.(" + joined(option.endings, "|") + ")(-.)\"";
    case Takes::part:
      return "_latchwright_parts";
    case Takes::actuator:
      return "_latchwright_actuators";
    case Takes::door:
      return "_latchwright_doors";
    case Takes::nothing:
    case Takes::number:
    case Takes::text:
      break;
  }
  return " ";
}

std::string specification(const OptionText& option) {
  const std::string text = quoted(option.text, "[]:");
  std::string out;
  for (const auto& name : option.names) {
    std::string others;
    if (!option.repeats) others = "(" + joined(option.names) + ")";
    out += " \\\n        '";
    if (option.repeats) out += '*';
    out += others;
    out += name;
    if (option.takes == Takes::nothing) {
      out += "[" + text + "]'";
    } else {
      const bool word = name.starts_with("--");
      out += std::string(word ? "=" : "") + "[" + text + "]:" + quoted(option.value, ":") + ":" +
             action(option) + "'";
    }
  }
  return out;
}

std::string argument(const OptionText& option) {
  return fmt::format(" \\\n        '{}{}{}:{}'", option.repeats ? "*:" : "1:", quoted(option.text, ":"), "",
                     action(option));
}

std::string specifications(const std::vector<OptionText>& options, const std::vector<OptionText>& arguments) {
  std::string out;
  for (const auto& option : options) out += specification(option);
  for (const auto& option : arguments) out += argument(option);
  return out;
}

}  // namespace

Fields zsh_fields(const ProgramText& program, const PartIds& ids) {
  std::string verbs, cases;
  for (const auto& verb : program.verbs) {
    verbs += fmt::format("    '{}:{}'\n", verb.name, quoted(first_clause(verb.text), ":"));
    cases += fmt::format("        {})\n          _arguments{} && ret=0\n          ;;\n", verb.name,
                         specifications(verb.options, verb.arguments));
  }
  return {{"PARTS", words_of(ids, "")},
          {"ACTUATORS", words_of(ids, "actuator")},
          {"VERBS", verbs},
          {"OPTIONS", specifications(program.options, {})},
          {"CASES", cases}};
}

Fields zsh_fields(const ProgramText& desk) {
  return {{"OPTIONS", specifications(desk.options, desk.verbs.front().arguments)}};
}

}  // namespace latchwright::texts
