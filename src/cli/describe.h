// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

// The program's verbs and options as plain words: for its manual page and for what shells complete.
namespace latchwright::cli {

/// What the value of an option, or an argument, is.
enum class Takes {
  nothing,   ///< a flag
  number,    ///< within OptionText::range
  words,     ///< one of OptionText::words
  file,      ///< with one of OptionText::endings, where there are any
  part,      ///< id of a part
  actuator,  ///< id of an actuator
  door,      ///< name of a door of the job
  text
};

struct OptionText {
  std::vector<std::string> names;  ///< "-h", "--help"; of an argument the word that stands for it, "JOB"
  std::string value;               ///< word for its value, "FILE"; empty for flags and arguments
  std::string text;                ///< what it does, one line
  Takes takes = Takes::nothing;
  std::string range;                 ///< "0.1 to 36000 s"; empty but for numbers
  std::vector<std::string> words;    ///< what it may be, where it is one of few
  std::vector<std::string> endings;  ///< "json": of the files it means
  bool required = false;
  bool repeats = false;  ///< may be given more than once

  bool operator==(const OptionText&) const = default;
};

struct VerbText {
  std::string name;
  std::string text;                   ///< what it does, whole sentences
  std::vector<std::string> examples;  ///< whole command lines, some with a remark behind
  std::vector<OptionText> arguments;  ///< in their order
  std::vector<OptionText> options;
};

struct ExitText {
  int code;
  std::string text;
};

struct ProgramText {
  std::string name;
  std::string version;
  std::string text;
  std::vector<std::string> first_steps;  ///< whole command lines, some with a remark behind
  std::vector<OptionText> options;       ///< without a verb
  std::vector<VerbText> verbs;
  std::vector<ExitText> exits;
};

/// Read from the very declarations that the command line is parsed by.
ProgramText describe_program();

}  // namespace latchwright::cli
