// SPDX-License-Identifier: GPL-3.0-or-later
#include "texts.h"

#include <algorithm>
#include <sstream>
#include <stdexcept>

namespace latchwright::texts {

std::string first_clause(const std::string& text) {
  std::size_t end = text.size();
  for (const char* mark : {": ", "; ", ". ", " ("}) end = std::min(end, text.find(mark));
  while (end > 0 && text[end - 1] == '.') --end;
  return text.substr(0, end);
}

std::string words_of(const PartIds& ids, const std::string& kind) {
  std::string words;
  for (const auto& [of_kind, list] : ids) {
    if (!kind.empty() && of_kind != kind) continue;
    for (const auto& id : list) {
      if (!words.empty()) words.push_back(' ');
      words += id;
    }
  }
  return words;
}

std::string filled(const std::string& text, const Fields& fields) {
  Fields all = fields;
  all["WRITTEN"] = written_by;
  std::string out = text;
  for (const auto& [name, value] : all) {
    const std::string mark = "@" + name + "@";
    const std::size_t place = out.find(mark);
    if (place == std::string::npos) throw std::runtime_error("a template has no " + mark);
    out.replace(place, mark.size(), value);
  }
  return out;
}

namespace {

/// "-h, --help" into its names, "-o, --output <file>" without its value.
std::vector<std::string> names_in(const std::string& column) {
  std::vector<std::string> names;
  std::istringstream words(column);
  for (std::string word; words >> word;) {
    if (word.ends_with(',')) word.pop_back();
    if (word.starts_with('-')) names.push_back(word);
  }
  return names;
}

}  // namespace

cli::ProgramText read_desk_help(const std::string& help, const std::string& version) {
  cli::ProgramText desk;
  desk.name = "latchwright-desk";
  desk.version = version;
  desk.exits = {
      {0, "closed as usual"}, {1, "an option that it does not know"}, {2, "more than one file was named"}};
  std::istringstream lines(help);
  std::string line;
  enum class Section { head, options, arguments } section = Section::head;
  std::vector<cli::OptionText> arguments;
  while (std::getline(lines, line)) {
    if (line.starts_with("Usage: ") || line.empty()) continue;
    if (line == "Options:") {
      section = Section::options;
    } else if (line == "Arguments:") {
      section = Section::arguments;
    } else if (section == Section::head) {
      desk.text += (desk.text.empty() ? "" : " ") + line;
    } else {
      // "  -h, --help     Displays help ..."; a long text goes on below its own column.
      auto& list = section == Section::options ? desk.options : arguments;
      const std::size_t start = line.find_first_not_of(' ');
      if (start == std::string::npos) continue;
      if (start > 4) {
        if (list.empty()) throw std::runtime_error("the window's help begins with a continued line: " + line);
        list.back().text += ' ' + line.substr(start);
        continue;
      }
      const std::size_t gap = line.find("  ", start);
      const std::size_t text = gap == std::string::npos ? gap : line.find_first_not_of(' ', gap);
      if (text == std::string::npos)
        throw std::runtime_error("cannot read this line of the window's help: " + line);
      cli::OptionText option;
      const std::string column = line.substr(start, gap - start);
      option.names = section == Section::options ? names_in(column) : std::vector<std::string>{column};
      option.text = line.substr(text);
      if (section == Section::arguments) {
        option.takes = cli::Takes::file;
        option.endings = {"json"};
      }
      list.push_back(option);
    }
  }
  if (desk.options.empty() || arguments.size() != 1)
    throw std::runtime_error("the window's help has another shape");
  cli::VerbText whole;
  whole.arguments = arguments;
  desk.verbs.push_back(whole);
  return desk;
}

}  // namespace latchwright::texts
