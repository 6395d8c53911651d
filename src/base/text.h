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

/// A character that a text may not hold, because a reader cannot see it or sees others elsewhere for it.
struct MisleadingCharacter {
  std::size_t character;  ///< which one of the text, from 1
  unsigned code_point;
  std::string_view what;  ///< "is a control character", "changes the direction of the text", "cannot be seen"
};
/// How many lines a text may have. `many` also permits tabs.
enum class Lines { one, many };
/// The first misleading character of UTF-8 text: control characters (U+0000 to U+001F, U+007F to U+009F; line
/// ends and tabs where there may be one line only), line and paragraph separators (U+2028, U+2029),
/// everything that Unicode calls Bidi_Control (PropList.txt: U+061C, U+200E, U+200F, U+202A to U+202E, U+2066
/// to U+2069), and what is never seen (U+00AD, U+200B, U+2060 to U+2064, U+206A to U+206F, U+FEFF, U+FFF9 to
/// U+FFFB). The joiners U+200C and U+200D may stand: Persian, Hindi and others are not written without them.
std::optional<MisleadingCharacter> find_misleading(std::string_view text, Lines lines = Lines::one);

/// Text safe to print on a terminal and in one line: line ends and tabs become spaces; other misleading
/// characters and bytes that are no UTF-8 become what JSON or C writes for them (\\u202e, \\xff); text of more
/// than `limit` characters is cut.
std::string printable(std::string_view text, std::size_t limit = 80);

}  // namespace latchwright::base
