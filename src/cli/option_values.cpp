// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/option_values.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <charconv>
#include <chrono>
#include <cmath>
#include <optional>

#include "base/text.h"

namespace latchwright::cli {

namespace {

/// A number in plain decimal notation, as a file would hold it: no blanks, nothing hexadecimal, no
/// infinity.
std::optional<double> plain_number(std::string_view text) {
  const bool plus = text.starts_with('+');
  if (plus) text.remove_prefix(1);
  if (text.find_first_not_of("0123456789.eE+-") != std::string_view::npos) return std::nullopt;
  if (plus && text.starts_with('-')) return std::nullopt;
  double value = 0;
  const char* const end = text.data() + text.size();
  const auto read = std::from_chars(text.data(), end, value);
  if (read.ec != std::errc() || read.ptr != end) return std::nullopt;
  return value;
}

}  // namespace

CLI::Validator number_within(const model::FieldInfo& info) {
  return CLI::Validator(
      [info](std::string& text) -> std::string {
        const auto value = plain_number(text);
        if (!value) {
          const bool comma = text.find(',') != std::string::npos;
          return fmt::format("\"{}\" is not a number ({}){}", base::printable(text, 40),
                             model::range_text(info), comma ? "; decimals take a point, not a comma" : "");
        }
        if (*value < info.low || *value > info.high) {
          return fmt::format("{} is outside the permitted range ({})", base::exact_text(*value),
                             model::range_text(info));
        }
        if (info.kind == model::FieldKind::whole && *value != std::floor(*value)) {
          return fmt::format("{} must be a whole number ({})", base::exact_text(*value),
                             model::range_text(info));
        }
        return "";
      },
      model::range_text(info), number_check);
}

CLI::Validator between(double low, double high, const char* unit, model::FieldKind kind) {
  model::FieldInfo info;
  info.kind = kind;
  info.low = low;
  info.high = high;
  info.unit = unit;
  return number_within(info);
}

CLI::Validator one_of(const std::vector<std::string>& words) {
  return CLI::Validator(
      [words](std::string& text) -> std::string {
        if (std::find(words.begin(), words.end(), text) != words.end()) return "";
        const std::string near = base::nearest_word(text, words);
        return fmt::format("\"{}\" is not one of {}{}", base::printable(text, 40), fmt::join(words, ", "),
                           near.empty() ? "" : "; did you mean \"" + near + "\"?");
      },
      fmt::format("{}", fmt::join(words, between_words)), words_check);
}

bool is_open_line(const std::string& text) {
  std::string plain;
  for (const char c : text) {
    if (c != '.') plain.push_back(static_cast<char>(std::tolower(static_cast<unsigned char>(c))));
  }
  return plain == open_line || plain == "ol";
}

CLI::Validator number_or_open(const model::FieldInfo& info) {
  return CLI::Validator(
      [number = number_within(info)](std::string& text) -> std::string {
        if (is_open_line(text)) return "";
        if (const std::string fault = number(text); !fault.empty()) {
          return fault + fmt::format("; {} for an open line", open_line);
        }
        if (text.starts_with('+')) text.erase(0, 1);
        return "";
      },
      model::range_text(info), number_check);
}

CLI::Validator a_value() {
  return CLI::Validator(
      [](std::string& text) -> std::string {
        if (!text.starts_with("--")) return "";
        return fmt::format("needs a value (\"{}\" is an option)", base::printable(text, 40));
      },
      "");
}

CLI::Validator a_file_to_write() {
  return CLI::Validator(
      [](std::string& text) -> std::string {
        if (text.empty()) return "needs the name of a file";
        if (text == "-") return "- is no file name here; --json prints";
        return "";
      },
      "");
}

CLI::Validator a_day() {
  return CLI::Validator(
      [](std::string& text) -> std::string {
        const auto figure = [&](std::size_t from, std::size_t count) {
          int value = 0;
          const char* const end = text.data() + from + count;
          const auto [stop, fault] = std::from_chars(text.data() + from, end, value);
          return fault == std::errc() && stop == end ? value : -1;
        };
        if (text.size() == 10 && text[4] == '-' && text[7] == '-') {
          using namespace std::chrono;
          const int y = figure(0, 4), m = figure(5, 2), d = figure(8, 2);
          if (y > 0 && m > 0 && d > 0 &&
              year_month_day(year(y), month(static_cast<unsigned>(m)), day(static_cast<unsigned>(d))).ok()) {
            return "";
          }
        }
        return fmt::format("\"{}\" is no day of the calendar (year-month-day, as in 2026-03-31)",
                           base::printable(text, 40));
      },
      "");
}

void add_common(CLI::App& verb, Options& options, bool tables, const char* replace) {
  verb.add_option("--parts", options.parts_files, "more parts (may repeat); they win over the built-in ones")
      ->option_text("FILE")
      ->check(a_value())
      ->allow_extra_args(false);
  verb.add_flag("--skip-broken", options.skip_broken,
                "names broken parts of part files and goes on without them");
  verb.add_flag("--json", options.json, "result as JSON on standard output, nothing else there");
  if (tables) {
    verb.add_option("--csv", options.csv, "writes the figures as CSV")
        ->option_text("FILE")
        ->check(a_value())
        ->check(a_file_to_write());
    verb.add_option("--plot", options.plot, "draws the result into a file")
        ->option_text("FILE.png|.svg|.pdf")
        ->check(a_value())
        ->check(a_file_to_write());
    verb.add_flag(replace, options.force, "replaces files that exist");
  }
  verb.add_flag("--quiet", options.quiet, "prints nothing but faults and what was asked for with --json");
  verb.footer(footer);
}

}  // namespace latchwright::cli
