// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/text_table.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"

namespace latchwright::report {

namespace {

// Colour codes inside a cell take no room.
std::size_t visible_width(const std::string& cell) {
  std::size_t width = 0;
  for (std::size_t k = 0; k < cell.size();) {
    if (cell[k] == '\033') {
      while (k < cell.size() && cell[k] != 'm') ++k;
      ++k;
    } else {
      const auto next = cell.find('\033', k);
      const std::string plain = cell.substr(k, next == std::string::npos ? next : next - k);
      width += base::column_width(plain);
      k += plain.size();
    }
  }
  return width;
}

}  // namespace

std::string TextTable::text(std::size_t indent) const {
  std::vector<std::size_t> widths;
  for (std::size_t c = 0; c < columns_.size(); ++c) {
    std::size_t width = base::column_width(columns_[c].title);
    for (const auto& row : rows_) width = std::max(width, visible_width(row[c]));
    widths.push_back(width);
  }
  std::string out;
  const auto line = [&](const auto& cell_of) {
    std::string made(indent, ' ');
    for (std::size_t c = 0; c < columns_.size(); ++c) {
      const std::string& cell = cell_of(c);
      const std::string gap(widths[c] - visible_width(cell), ' ');
      if (c > 0) made += "  ";
      made += columns_[c].align == Align::left ? cell + gap : gap + cell;
    }
    made.erase(made.find_last_not_of(' ') + 1);
    out += made + '\n';
  };
  line([&](std::size_t c) -> const std::string& { return columns_[c].title; });
  for (const auto& row : rows_) {
    line([&](std::size_t c) -> const std::string& { return row[c]; });
  }
  return out;
}

std::string shown(verdict::Verdict verdict, const Style& style) {
  std::string word(verdict::word_of(verdict));
  if (!style.colour) return word;
  const char* code = verdict == verdict::Verdict::fails ? "1;31" : verdict == verdict::Verdict::tight ? "33" : "32";
  return fmt::format("\033[{}m{}\033[0m", code, word);
}

std::string condition_text(double voltage_V, double ambient_C) {
  return fmt::format("({} V, {} °C)", base::exact_text(voltage_V), base::exact_text(ambient_C));
}

std::string wrapped(const std::string& text, std::size_t indent, std::size_t width) {
  std::string out;
  std::string line(indent, ' ');
  bool blank = true;
  for (std::size_t k = 0; k < text.size();) {
    const auto next = text.find(' ', k);
    const std::string word = text.substr(k, next == std::string::npos ? next : next - k);
    if (!blank && base::column_width(line) + 1 + base::column_width(word) > width) {
      out += line + '\n';
      line.assign(indent, ' ');
      blank = true;
    }
    line += (blank ? "" : " ") + word;
    blank = false;
    k = next == std::string::npos ? text.size() : next + 1;
  }
  return out + line + '\n';
}

const std::vector<std::string>& cautions() {
  static const std::vector<std::string> lines{
      "Battery off before you open the wiring; leave airbag circuits alone.",
      "Bridge and bypass nothing: no larger fuse than named, no thermistor shorted.",
      "Every door must open by hand, locked or not, before and after.",
      "A stalled actuator and its thermistor are hot; keep fingers clear of rods and latches.",
      "The vehicle's service data, local regulations and licensed practice come before this tool."};
  return lines;
}

std::string cautions_text() {
  std::string out = "\nBefore you touch it\n";
  for (const auto& line : cautions()) out += "  " + line + '\n';
  return out;
}

}  // namespace latchwright::report
