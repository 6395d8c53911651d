// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "report/job_sheet.h"

namespace latchwright::tests {

/// Everything that a block of a sheet says, a line a text; of a picture its title.
struct SheetWordsOf {
  std::string text;

  void add(const std::string& line) { text += line + '\n'; }
  void operator()(const report::SheetHeading& heading) { add(heading.text); }
  void operator()(const report::SheetParagraph& paragraph) { add(paragraph.text); }
  void operator()(const report::SheetList& list) {
    for (const auto& item : list.items) add(item);
  }
  void operator()(const report::SheetNotice& notice) {
    add(notice.title);
    for (const auto& line : notice.lines) add(line);
  }
  void operator()(const report::SheetTable& table) {
    add(table.title);
    for (const auto& column : table.columns) add(column.title);
    for (const auto& row : table.rows) {
      for (const auto& cell : row) add(cell);
    }
    for (const auto& box : table.boxes) add(box);
  }
  void operator()(const report::SheetForm& form) {
    for (const auto& label : form.labels) add(label);
  }
  void operator()(const report::SheetPicture& shown) { add(shown.picture.title); }
};

inline std::string words_of(const report::SheetSection& section) {
  SheetWordsOf words;
  for (const auto& block : section.blocks) std::visit(words, block);
  return words.text;
}

/// A sheet with every kind of block, from texts that a file may hold.
inline report::JobSheet small_sheet(const std::string& text = "text") {
  using namespace report;
  JobSheet sheet;
  sheet.title = "title " + text;
  sheet.origin = "Latchwright 0.0.0, input 0000-0000-0000-0001";
  SheetTable table{"table " + text, {{"first " + text}, {"figure", true}}, {}, {"box " + text}};
  for (int k = 0; k < 3; ++k)
    table.rows.push_back({"row " + std::to_string(k) + " " + text, std::to_string(k) + ".25 A"});
  sheet.sections = {
      {"customer", "For the owner", {SheetHeading{"heading " + text}, SheetParagraph{"paragraph " + text}}},
      {"installer",
       "For the fitter",
       {SheetNotice{SheetNotice::Kind::mind, "notice " + text, {"line " + text}}, table,
        SheetList{{"item " + text}, true}, SheetForm{{"label " + text}}}}};
  return sheet;
}

}  // namespace latchwright::tests
