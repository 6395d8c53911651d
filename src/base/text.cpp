// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/text.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <charconv>
#include <cmath>
#include <numeric>

#include "base/failure.h"
#include "base/infinity.h"

namespace latchwright::base {

std::string exact_text(double value) {
  // The shortest form of a whole number such as 600 is "6e+02" in some libraries: fmt writes it plainly.
  return fmt::format("{}", value == std::floor(value) && std::fabs(value) < 1e15 ? std::floor(value) : value);
}

double number_in(std::string_view text) {
  if (text.starts_with('+')) text.remove_prefix(1);
  double value = 0;
  const char* const end = text.data() + text.size();
  const auto read = std::from_chars(text.data(), end, value);
  require(read.ptr == end && read.ec != std::errc::invalid_argument, "a text of the program's own holds a number");
  // Rounded to fewer digits, the largest double is larger than itself, and the smallest one may be nothing.
  if (read.ec == std::errc::result_out_of_range) {
    value = text.find("e-") != std::string_view::npos ? 0 : infinity;
    return text.starts_with('-') ? -value : value;
  }
  return value;
}

std::string significant(double value, int digits) {
  if (std::isinf(value)) return value > 0 ? "never" : "-never";
  if (value == 0) return "0";
  const double size = std::fabs(value);
  if (size < 1e-4 || size >= 1e7) return fmt::format("{:.{}e}", value, digits - 1);
  // Rounding first, so that 9.996 counts as 10.0 and not as a figure below ten.
  const double rounded = number_in(fmt::format("{:.{}e}", value, digits - 1));
  const int exponent = static_cast<int>(std::floor(std::log10(std::fabs(rounded)) + 1e-12));
  return fmt::format("{:.{}f}", rounded, std::max(0, digits - 1 - exponent));
}

std::string wait_text(double seconds) {
  if (std::isinf(seconds)) return "never";
  if (seconds < 10) return significant(seconds, 2) + " s";
  if (seconds < 120) return fmt::format("{:.0f} s", seconds);
  if (seconds < 7200) return fmt::format("{:.0f} min", seconds / 60);
  return fmt::format("{:.1f} h", seconds / 3600);
}

namespace {

char lower(char c) { return static_cast<char>(std::tolower(static_cast<unsigned char>(c))); }

/// Slips between two words: letters missing, added, wrong, or two neighbours swapped; case does not count.
std::size_t slips(std::string_view a, std::string_view b) {
  std::vector<std::size_t> before(b.size() + 1), last(b.size() + 1), row(b.size() + 1);
  std::iota(last.begin(), last.end(), std::size_t{0});
  for (std::size_t i = 1; i <= a.size(); ++i) {
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t changed = last[j - 1] + (lower(a[i - 1]) == lower(b[j - 1]) ? 0 : 1);
      row[j] = std::min({row[j - 1] + 1, last[j] + 1, changed});
      if (i > 1 && j > 1 && lower(a[i - 1]) == lower(b[j - 2]) && lower(a[i - 2]) == lower(b[j - 1])) {
        row[j] = std::min(row[j], before[j - 2] + 1);
      }
    }
    std::swap(before, last);
    std::swap(last, row);
  }
  return last[b.size()];
}

/// The same name with another unit, or without one: stroke, stroke_cm and stroke_mm.
bool same_stem(std::string_view a, std::string_view b) {
  const auto stem = [](std::string_view word) { return word.substr(0, word.rfind('_')); };
  return stem(a) == stem(b) || stem(a) == b || a == stem(b);
}

}  // namespace

std::string nearest_word(std::string_view word, const std::vector<std::string>& known) {
  std::string best;
  if (word.empty() || word.size() > 100) return best;
  // One slip in three letters is likely; where there is none of these, the same name with another unit.
  std::size_t fewest = 0;
  bool best_is_slip = false;
  for (const auto& candidate : known) {
    const std::size_t count = slips(word, candidate);
    const bool slip = count <= std::min(word.size(), candidate.size()) / 3;
    if (!slip && !same_stem(word, candidate)) continue;
    if (best.empty() || slip > best_is_slip || (slip == best_is_slip && count < fewest)) {
      best = candidate;
      fewest = count;
      best_is_slip = slip;
    }
  }
  return best;
}

std::size_t column_width(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(
      text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

namespace {

struct CodePoint {
  std::optional<unsigned> value;  ///< none: a byte that is no UTF-8
  std::size_t bytes;
};

/// The character that begins at `place`; the table of well-formed UTF-8 is that of RFC 3629, section 4.
CodePoint code_point_at(std::string_view text, std::size_t place) {
  const auto byte = [&](std::size_t k) -> unsigned {
    return place + k < text.size() ? static_cast<unsigned char>(text[place + k]) : 0u;
  };
  const unsigned first = byte(0);
  if (first < 0x80) return {first, 1};
  const std::size_t length = first >= 0xF0 ? 4 : first >= 0xE0 ? 3 : 2;
  if (first < 0xC2 || first > 0xF4) return {std::nullopt, 1};
  unsigned value = first & (0x7Fu >> length);
  for (std::size_t k = 1; k < length; ++k) {
    if ((byte(k) & 0xC0) != 0x80) return {std::nullopt, 1};
    value = value << 6 | (byte(k) & 0x3F);
  }
  const bool overlong = (length == 3 && value < 0x800) || (length == 4 && value < 0x10000);
  const bool surrogate = value >= 0xD800 && value < 0xE000;
  if (overlong || surrogate || value > 0x10FFFF) return {std::nullopt, 1};
  return {value, length};
}

/// Why a character misleads; empty where it does not. Line ends and tabs count.
std::string_view misleading(unsigned c) {
  if (c < 0x20 || (c >= 0x7F && c < 0xA0)) return "is a control character";
  if (c < 0xAD) return {};
  if (c == 0x2028 || c == 0x2029) return "ends a line";
  const bool turns = c == 0x061C || c == 0x200E || c == 0x200F || (c >= 0x202A && c <= 0x202E) ||
                     (c >= 0x2066 && c <= 0x2069);
  if (turns) return "changes the direction of the text";
  const bool unseen = c == 0x00AD || c == 0x200B || (c >= 0x2060 && c <= 0x2064) ||
                      (c >= 0x206A && c <= 0x206F) || c == 0xFEFF || (c >= 0xFFF9 && c <= 0xFFFB);
  return unseen ? "cannot be seen" : std::string_view();
}

bool is_layout(unsigned c) { return c == '\t' || c == '\n' || c == '\r'; }

}  // namespace

std::optional<MisleadingCharacter> find_misleading(std::string_view text, Lines lines) {
  std::size_t character = 0;
  for (std::size_t k = 0; k < text.size();) {
    const CodePoint next = code_point_at(text, k);
    k += next.bytes;
    ++character;
    if (!next.value || (lines == Lines::many && is_layout(*next.value))) continue;
    const auto what = misleading(*next.value);
    if (!what.empty()) return MisleadingCharacter{character, *next.value, what};
  }
  return std::nullopt;
}

std::string printable(std::string_view text, std::size_t limit) {
  std::string clean;
  std::size_t columns = 0;
  for (std::size_t k = 0; k < text.size();) {
    const CodePoint next = code_point_at(text, k);
    std::string shown(text.substr(k, next.bytes));
    if (!next.value) {
      shown = fmt::format("\\x{:02x}", static_cast<unsigned char>(text[k]));
    } else if (is_layout(*next.value)) {
      shown.assign(1, ' ');
    } else if (!misleading(*next.value).empty()) {
      shown = fmt::format("\\u{:04x}", *next.value);
    }
    // An escape is shown whole or not at all.
    columns += column_width(shown);
    if (columns > limit) return clean + "…";
    clean += shown;
    k += next.bytes;
  }
  return clean;
}

}  // namespace latchwright::base
