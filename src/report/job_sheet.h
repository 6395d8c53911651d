// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <variant>
#include <vector>

#include "model/study.h"
#include "report/picture.h"
#include "report/sheet_findings.h"

// The job sheet as data: pages made of blocks. Texts are plain (what a file brought with it too), so whoever
// writes them into a format escapes them.
namespace latchwright::report {

struct SheetHeading {
  std::string text;
};

struct SheetParagraph {
  std::string text;
  bool faint = false;  ///< for whoever looks closer
};

struct SheetList {
  std::vector<std::string> items;
  bool numbered = false;
  bool faint = false;
};

/// Stands out. Its title says the state in words.
struct SheetNotice {
  enum class Kind { good, mind, stop, caution };
  Kind kind = Kind::good;
  std::string title;
  std::vector<std::string> lines;
};

struct SheetTable {
  struct Column {
    std::string title;
    bool right = false;  ///< numbers
  };
  std::string title;
  std::vector<Column> columns;
  std::vector<std::vector<std::string>> rows;  ///< a cell a column
  std::vector<std::string> boxes;              ///< titles of further columns, left empty to be filled in
};

/// Lines to be filled in: date, name, signature.
struct SheetForm {
  std::vector<std::string> labels;
};

struct SheetPicture {
  Picture picture;
};

using SheetBlock =
    std::variant<SheetHeading, SheetParagraph, SheetList, SheetNotice, SheetTable, SheetForm, SheetPicture>;

/// Begins on a page of its own.
struct SheetSection {
  std::string key;  ///< "customer", "installer", "acceptance", "cautions"
  std::string title;
  std::vector<SheetBlock> blocks;
};

struct JobSheet {
  std::string title;  ///< of the job
  std::string date;   ///< as given; empty: none
  /// Says that the installation must not be handed over like this, before anything else and on top of every
  /// section; empty where nothing fails.
  std::string stop;
  std::vector<SheetSection> sections;
  std::string origin;  ///< program, its version, the input's check sum: at the foot of every page
};

/// Sizes of paper: ISO 216, and ANSI Y14.1's A (8.5 x 11 in; from memory).
enum class Paper { a4, letter };

/// Sums up (base::check_sum) the job as a file would hold it, with the parts that it uses and no others: the
/// same for a part from the catalogue, from a user's file or from the job itself. The study must be complete.
std::string input_sum(const model::Study& study);

/// The whole sheet. date: as it shall stand there; empty: none, so that the same input gives the same sheet.
JobSheet make_job_sheet(const model::Study& study, const SheetFindings& findings,
                        const std::string& date = "");

}  // namespace latchwright::report
