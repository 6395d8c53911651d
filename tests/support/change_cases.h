// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <fstream>
#include <sstream>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "support/worked_case.h"

// Tables of small changes to a good text and the lines that each must bring.
namespace latchwright::tests {

struct ChangeCase {
  std::string title;
  std::vector<std::pair<std::string, std::string>> changes;  ///< what stands there, what goes in its place
  std::vector<std::string> lines;
};

inline std::string read_text(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  if (!in) throw std::runtime_error("cannot read " + path);
  std::stringstream text;
  text << in.rdbuf();
  return text.str();
}

/// "== title", "- old", "+ new" (may be left out: nothing goes in its place), "! expected line", "# remark".
inline std::vector<ChangeCase> read_change_cases(const std::string& path) {
  std::vector<ChangeCase> cases;
  std::istringstream in(read_text(path));
  for (std::string line; std::getline(in, line);) {
    if (line.empty() || line[0] == '#') continue;
    if (line.rfind("== ", 0) == 0) {
      cases.push_back({line.substr(3), {}, {}});
    } else if (cases.empty() || line.size() < 2 || line[1] != ' ') {
      throw std::runtime_error(path + ": unclear line: " + line);
    } else if (line[0] == '-') {
      cases.back().changes.emplace_back(line.substr(2), "");
    } else if (line[0] == '+' && !cases.back().changes.empty()) {
      cases.back().changes.back().second = line.substr(2);
    } else if (line[0] == '!') {
      cases.back().lines.push_back(line.substr(2));
    } else {
      throw std::runtime_error(path + ": unclear line: " + line);
    }
  }
  return cases;
}

/// The text with each change made at the first place where it fits.
inline std::string with_changes(std::string text, const ChangeCase& change_case) {
  for (const auto& [old, put] : change_case.changes) {
    const auto place = text.find(old);
    if (place == std::string::npos) throw std::runtime_error(change_case.title + ": nowhere: " + old);
    text.replace(place, old.size(), put);
  }
  return text;
}

/// The worked case with two doors and one piece of its text for another.
inline std::string worked_case_with(const std::string& old, const std::string& put) {
  return with_changes(worked_case_json(2), {"", {{old, put}}, {}});
}

}  // namespace latchwright::tests
