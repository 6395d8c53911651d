// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/describe.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cctype>

#include "cli/option_values.h"
#include "cli/verbs.h"
#include "report/result_head.h"

namespace latchwright::cli {

namespace {

std::vector<std::string> split(const std::string& text, const std::string& between) {
  std::vector<std::string> pieces;
  std::size_t start = 0;
  for (;;) {
    const std::size_t end = text.find(between, start);
    pieces.push_back(text.substr(start, end - start));
    if (end == std::string::npos) return pieces;
    start = end + between.size();
  }
}

/// The endings that a value's word names: "FILE.png|.svg|.pdf", "LOG.csv".
std::vector<std::string> endings_in(const std::string& word) {
  std::vector<std::string> endings;
  for (const auto& piece : split(word, "|")) {
    const std::size_t dot = piece.rfind('.');
    if (dot != std::string::npos && dot + 1 < piece.size()) endings.push_back(piece.substr(dot + 1));
  }
  return endings;
}

/// By the word that stands for it, which help uses alike in all verbs.
void tell_what_it_takes(const std::string& word, OptionText& option) {
  if (!option.words.empty()) {
    option.takes = Takes::words;
  } else if (!option.range.empty()) {
    option.takes = Takes::number;
  } else if (word == "PART_ID") {
    option.takes = Takes::actuator;
  } else if (word == "ID") {
    option.takes = Takes::part;
  } else if (word == "NAME") {
    option.takes = Takes::door;
  } else if (word == "JOB") {
    option.takes = Takes::file;
    option.endings = {"json"};
  } else if (word == "LOG") {
    option.takes = Takes::file;
    option.endings = {"csv"};
  } else if (word == "RESULT" || word.starts_with("FILE") || !endings_in(word).empty()) {
    option.takes = Takes::file;
    option.endings = endings_in(word);
    if (option.names.back() == "--csv") option.endings = {"csv"};
    if (option.names.back() == "--parts" || word == "RESULT") option.endings = {"json"};
  } else {
    option.takes = Takes::text;
  }
}

OptionText describe(CLI::Option& option) {
  OptionText described;
  const bool argument = option.get_positional();
  if (argument) {
    described.names = {option.get_name(true)};
  } else {
    for (const auto& name : option.get_snames()) described.names.push_back("-" + name);
    for (const auto& name : option.get_lnames()) described.names.push_back("--" + name);
  }
  described.text = option.get_description();
  described.required = option.get_required();
  described.repeats = option.get_expected_max() > 1;
  if (!argument && option.get_expected_max() == 0) return described;

  for (int k = 0;; ++k) {
    const CLI::Validator* check = nullptr;
    try {
      check = option.get_validator(k);
    } catch (const CLI::OptionNotFound&) {
      break;  // the library's only sign of the end
    }
    if (check->get_name() == number_check) described.range = check->get_description();
    if (check->get_name() == words_check) described.words = split(check->get_description(), between_words);
  }
  if (!argument) described.value = option.get_option_text();
  tell_what_it_takes(argument ? described.names.front() : described.value, described);
  return described;
}

std::string trimmed(const std::string& text) {
  const std::size_t start = text.find_first_not_of(" \n");
  return start == std::string::npos ? "" : text.substr(start, text.find_last_not_of(" \n") + 1 - start);
}

/// A verb's help ends with its examples, one a line.
void describe_text(const std::string& help, VerbText& verb) {
  const std::string mark = "\nExample: ";
  const std::size_t end = help.find(mark);
  verb.text = help.substr(0, end);
  std::replace(verb.text.begin(), verb.text.end(), '\n', ' ');
  if (end == std::string::npos) return;
  for (const auto& line : split(help.substr(end + mark.size()), "\n")) verb.examples.push_back(trimmed(line));
}

std::vector<ExitText> exit_texts() {
  return {{exit_good, "ran; with check and size: and nothing fails (what is tight passes)"},
          {exit_fails, "ran, and something fails (check and size only)"},
          {exit_bad_input,
           "bad input or usage: one line per fault on standard error, FILE: /path/to/key: what is wrong"},
          {exit_unsolved, "a study that cannot be solved, or a fault of the program; the text says which"},
          {exit_cancelled, "interrupted; nothing was written"}};
}

}  // namespace

ProgramText describe_program() {
  Options options;
  CLI::App app;
  declare_options(app, options);

  ProgramText program;
  program.name = app.get_name();
  program.version = report::program_version();
  program.text = app.get_description();
  for (const auto& line : split(app.get_footer(), "\n")) {
    if (line.starts_with("  " + program.name)) program.first_steps.push_back(trimmed(line));
  }
  for (auto* option : app.get_options()) program.options.push_back(describe(*option));
  for (auto* known : app.get_subcommands([](CLI::App*) { return true; })) {
    VerbText verb;
    verb.name = known->get_name();
    describe_text(known->get_description(), verb);
    for (auto* option : known->get_options()) {
      auto& list = option->get_positional() ? verb.arguments : verb.options;
      list.push_back(describe(*option));
    }
    program.verbs.push_back(std::move(verb));
  }
  program.exits = exit_texts();
  return program;
}

}  // namespace latchwright::cli
