// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace latchwright::base {

/// A number as a file would hold it: the shortest text that reads back to the same double.
std::string exact_text(double value);

/// The number that a text of the program's own holds: digits, point, exponent, a sign. Whatever the user's language, which
/// strtod heeds once a window has taken it over. Throws InternalError where it is no number.
double number_in(std::string_view text);

/// A number for people: `digits` significant digits, plain notation from 1e-4 to 1e7, "never" for infinity.
std::string significant(double value, int digits = 3);

/// A wait for people: "0.4 s", "12 s", "3 min", "2 h"; whole units above 10 s.
std::string wait_text(double seconds);

/// The known word closest to `word` by edit distance; empty when none is near enough to be a likely slip.
std::string nearest_word(std::string_view word, const std::vector<std::string>& known);

/// Length of UTF-8 text in code points, for aligning columns.
std::size_t column_width(std::string_view text);

struct ControlCharacter {
  std::size_t character;  ///< which one of the text, from 1
  unsigned code_point;
};
/// The first control character of UTF-8 text (U+0000 to U+001F, U+007F to U+009F).
std::optional<ControlCharacter> find_control(std::string_view text);

/// Text safe to print on a terminal and in one line: control characters become spaces, long text is cut.
std::string printable(std::string_view text, std::size_t limit = 80);

}  // namespace latchwright::base
