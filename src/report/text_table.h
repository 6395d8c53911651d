// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "verdict/check_row.h"

namespace latchwright::report {

/// How text may look where it goes.
struct Style {
  bool colour = false;
};

/// A table for a terminal: columns as wide as their widest cell, numbers to the right.
class TextTable {
 public:
  enum class Align { left, right };
  struct Column {
    std::string title;
    Align align = Align::left;
  };

  explicit TextTable(std::vector<Column> columns) : columns_(std::move(columns)) {}
  void add(std::vector<std::string> cells) { rows_.push_back(std::move(cells)); }
  bool empty() const { return rows_.empty(); }
  /// Lines, each ended; indent: blanks before each.
  std::string text(std::size_t indent = 0) const;

 private:
  std::vector<Column> columns_;
  std::vector<std::vector<std::string>> rows_;
};

/// "fails" in its colour where colour is allowed.
std::string shown(verdict::Verdict verdict, const Style& style);

/// "(9 V, -20 °C)".
std::string condition_text(double voltage_V, double ambient_C);

/// Text broken into lines of at most `width` columns, each after `indent` blanks.
std::string wrapped(const std::string& text, std::size_t indent, std::size_t width = 100);

/// The cautions that stand wherever hands may follow the text.
const std::vector<std::string>& cautions();
/// The same as a block with its heading, a blank line before it.
std::string cautions_text();

}  // namespace latchwright::report
