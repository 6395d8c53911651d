// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <string_view>

#include "report/text_table.h"
#include "texts.h"

namespace latchwright::texts {

using cli::OptionText;
using cli::ProgramText;
using cli::VerbText;

namespace {

/// One code point of UTF-8 text from `k` on; `k` goes past it. The program's own texts are valid UTF-8.
unsigned code_point(std::string_view text, std::size_t& k) {
  const auto first = static_cast<unsigned char>(text[k++]);
  if (first < 0x80) return first;
  const int more = first >= 0xF0 ? 3 : first >= 0xE0 ? 2 : 1;
  unsigned point = first & (0x3FU >> more);
  for (int n = 0; n < more && k < text.size(); ++n)
    point = (point << 6) | (static_cast<unsigned char>(text[k++]) & 0x3FU);
  return point;
}

/// Text as roff prints it: no escape, no control line, ASCII only. exact: hyphens as they are typed.
std::string roff(std::string_view text, bool exact = false) {
  std::string out;
  for (std::size_t k = 0; k < text.size();) {
    const unsigned point = code_point(text, k);
    if (point == '\\') {
      out += "\\e";
    } else if (point == '-' && exact) {
      out += "\\-";
    } else if (point == '\'') {
      out += "\\(aq";
    } else if (point < 0x80) {
      out.push_back(static_cast<char>(point));
    } else {
      out += fmt::format("\\[u{:04X}]", point);
    }
  }
  if (out.starts_with('.')) out.insert(0, "\\&");
  return out;
}

/// Words that are typed as they stand.
std::string bold(std::string_view text) { return "\\fB" + roff(text, true) + "\\fR"; }
std::string italic(std::string_view text) { return "\\fI" + roff(text, true) + "\\fR"; }

/// In running text options stand as they are typed: their hyphens must not become others.
std::string running(std::string_view text) {
  std::string out;
  std::size_t k = 0;
  while (k < text.size()) {
    const std::size_t end = std::min(text.find(' ', k), text.size());
    const std::string_view word = text.substr(k, end - k);
    const std::size_t start = word.find_first_not_of("(\"");
    const bool option = start != std::string_view::npos && word[start] == '-' && word.size() > start + 1;
    out += roff(word, option);
    if (end < text.size()) out.push_back(' ');
    k = end + 1;
  }
  return out;
}

std::string names_of(const OptionText& option) {
  std::string text;
  for (const auto& name : option.names) text += (text.empty() ? "" : ", ") + bold(name);
  if (!option.value.empty()) text += ' ' + italic(option.value);
  return text;
}

std::string text_of(const OptionText& option) {
  std::string text = option.text;
  if (!option.range.empty()) text += "; " + option.range;
  // Some texts name the words themselves.
  if (!option.words.empty() && text.find(option.words.back()) == std::string::npos) {
    text += fmt::format("; one of {}", fmt::join(option.words, ", "));
  }
  if (option.required && !option.value.empty()) text += " (required)";
  return running(text);
}

std::string entry(const OptionText& option) {
  const std::string names = option.value.empty() && !option.names.front().starts_with('-')
                                ? italic(option.names.front())
                                : names_of(option);
  return ".TP\n" + names + "\n" + text_of(option) + "\n";
}

/// Options that read alike in several verbs stand once.
std::vector<OptionText> shared_options(const ProgramText& program) {
  constexpr int several = 3;
  std::vector<OptionText> shared;
  for (const auto& verb : program.verbs) {
    for (const auto& option : verb.options) {
      if (std::find(shared.begin(), shared.end(), option) != shared.end()) continue;
      int verbs = 0;
      for (const auto& other : program.verbs) {
        verbs += static_cast<int>(std::count(other.options.begin(), other.options.end(), option));
      }
      if (verbs >= several) shared.push_back(option);
    }
  }
  return shared;
}

bool has(const std::vector<OptionText>& list, const OptionText& option) {
  return std::find(list.begin(), list.end(), option) != list.end();
}

std::string command(const std::string& line) {
  // A remark stands behind the command, parted by several blanks.
  const std::size_t gap = line.find("  ");
  std::string out = ".PP\n.RS 4\n" + bold(line.substr(0, gap)) + "\n";
  if (gap != std::string::npos)
    out += ".br\n" + running(line.substr(line.find_first_not_of(' ', gap))) + "\n";
  return out + ".RE\n";
}

std::string synopsis(const ProgramText& program, const VerbText& verb) {
  std::string text = bold(program.name) + " " + bold(verb.name);
  for (const auto& argument : verb.arguments) {
    const std::string word = italic(argument.names.front()) + (argument.repeats ? " ..." : "");
    text += argument.required ? " " + word : " [" + word + "]";
  }
  for (const auto& option : verb.options) {
    if (option.required) text += " " + bold(option.names.back()) + " " + italic(option.value);
  }
  return text + " [" + italic("options") + "]";
}

std::string verb_section(const ProgramText& program, const VerbText& verb,
                         const std::vector<OptionText>& shared) {
  std::string out =
      ".SS " + roff(verb.name) + "\n" + synopsis(program, verb) + "\n.PP\n" + running(verb.text) + "\n";
  for (const auto& argument : verb.arguments) out += entry(argument);
  std::string also;
  for (const auto& option : verb.options) {
    if (has(shared, option)) {
      also += (also.empty() ? "" : ", ") + bold(option.names.back());
    } else {
      out += entry(option);
    }
  }
  if (!also.empty()) out += ".PP\nAlso, as below: " + also + ".\n";
  if (!verb.examples.empty()) out += ".PP\nFor example:\n";
  for (const auto& example : verb.examples) out += command(example);
  return out;
}

std::string head(const std::string& title, const std::string& version) {
  // The standard says "at the beginning of a line" for comments too.
  return ".\\\" " + std::string(written_by) + "\n.TH " + title + " 1 \"\" \"Latchwright " + version +
         "\" \"User Commands\"\n";
}

std::string exits(const ProgramText& program) {
  std::string out = ".SH EXIT STATUS\n";
  for (const auto& exit : program.exits)
    out += fmt::format(".TP\n\\fB{}\\fR\n{}\n", exit.code, running(exit.text));
  return out;
}

std::string cautions() {
  std::string out = ".SH CAUTIONS\n";
  bool first = true;
  for (const auto& line : report::cautions()) {
    out += (first ? "" : ".PP\n") + roff(line) + "\n";
    first = false;
  }
  return out;
}

std::string plain_name(const std::string& text) {
  std::string name = text;
  while (name.ends_with('.')) name.pop_back();
  return name;
}

}  // namespace

std::string man_page(const ProgramText& program) {
  std::string out = head("LATCHWRIGHT", program.version);
  out += ".SH NAME\nlatchwright \\- " + roff("checks and sizes 12 V power door lock installations") + "\n";
  out += ".SH SYNOPSIS\n";
  bool first = true;
  for (const auto& verb : program.verbs) {
    out += (first ? "" : ".br\n") + synopsis(program, verb) + "\n";
    first = false;
  }
  for (const auto& option : program.options)
    out += ".br\n" + bold(program.name) + " " + bold(option.names.back()) + "\n";
  out += ".SH DESCRIPTION\n" + running(program.text) + "\n.PP\n" +
         running(
             "It solves circuit, motors, gears and heat of every door together, says what fails, where and "
             "at which "
             "condition, and what would cure it. A cycle is lock plus unlock.") +
         "\n.PP\nFirst steps:\n";
  for (const auto& step : program.first_steps) out += command(step);

  const auto shared = shared_options(program);
  out += ".SH VERBS\n";
  for (const auto& verb : program.verbs) out += verb_section(program, verb, shared);
  out += ".SH OPTIONS OF SEVERAL VERBS\n";
  for (const auto& option : shared) out += entry(option);
  out += ".SH OPTIONS WITHOUT A VERB\n";
  for (const auto& option : program.options) out += entry(option);
  out += exits(program);
  out += ".SH ENVIRONMENT\n.TP\n" + bold("NO_COLOR") + "\n" +
         "set to anything: no colour on a terminal either\n";
  out += ".SH FILES\n" +
         running(
             "Jobs and part files are JSON. Every key, with its unit, range and default, is described in the "
             "files "
             "docs/files.md, docs/job.schema.json and docs/parts.schema.json of the documentation; "
             "docs/examples has "
             "jobs to begin with. The catalogue of parts is inside the program.") +
         "\n";
  out += cautions();
  return out + ".SH SEE ALSO\n.BR latchwright\\-desk (1)\n";
}

std::string desk_man_page(const ProgramText& desk) {
  std::string out = head("LATCHWRIGHT\\-DESK", desk.version);
  out += ".SH NAME\nlatchwright\\-desk \\- " + roff("the window of latchwright") + "\n";
  out += ".SH SYNOPSIS\n" + bold(desk.name) + " [" + italic("options") + "] [" +
         italic(desk.verbs.front().arguments.front().names.front()) + "]\n";
  out += ".SH DESCRIPTION\n" + running(plain_name(desk.text) + ".") + "\n.PP\n" +
         running(
             "The circuit itself is the way around: from the battery to the rods, every link with its part "
             "and its "
             "worst margin. The line below always says the weakest link and what would cure it. Numbers "
             "stand on the "
             "left, pictures on the right; voltage, ambient, pulse, rest and cycles can be moved for the "
             "pictures "
             "alone. Every edit can be undone; unsaved changes survive a crash. The bench (Ctrl+B) tells a "
             "dead actuator from "
             "one that only waits to cool.") +
         "\n";
  out += ".SH OPTIONS\n";
  for (const auto& argument : desk.verbs.front().arguments) out += entry(argument);
  for (const auto& option : desk.options) out += entry(option);
  out += ".PP\nOptions that every program with Qt knows are taken too.\n";
  out += exits(desk) + cautions();
  return out + ".SH SEE ALSO\n.BR latchwright (1)\n";
}

}  // namespace latchwright::texts
