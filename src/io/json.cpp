// SPDX-License-Identifier: GPL-3.0-or-later
#include "io/json.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <set>

#include "base/failure.h"
#include "base/text.h"
#include "model/field.h"

namespace latchwright::io {

namespace {

using model::Raw;

/// The reader's complaint in words for people who write JSON by hand once a year.
std::string plain_words(const std::string& what) {
  static constexpr std::pair<std::string_view, std::string_view> words[] = {
      {"ill-formed UTF-8", "a byte that is not UTF-8 text"},
      {"unexpected end of input", "the file ends too early"},
      {"missing closing quote", "the closing quote of a text is missing"},
      {"control character U+000A", "the closing quote of a text is missing"},
      {"control character U+000D", "the closing quote of a text is missing"},
      {"invalid string", "a text holds a control character or an escape that JSON does not know"},
      {"invalid number", "a number is not written as JSON has it"},
      {"invalid literal", "a word that JSON does not know: texts stand in double quotes, and there are no remarks"},
      {"parsing object separator", "a colon is wanted after the key"},
      {"parsing object key", "a key in double quotes is wanted"},
      {"parsing object ", "a comma or a closing brace is wanted"},
      {"parsing array", "a comma or a closing bracket is wanted"},
      {"expected end of input", "there is more text after the last brace"},
      {"parsing value", "a value is wanted"},
  };
  for (const auto& [mark, text] : words) {
    if (what.find(mark) != std::string::npos) return std::string(text);
  }
  return base::printable(what, 160);
}

/// Whether the number that has a digit at `place` follows a digit and a comma: 0,7 where 0.7 is meant.
bool is_decimal_comma(std::string_view text, std::size_t place) {
  const auto digit = [text](std::size_t k) { return k < text.size() && text[k] >= '0' && text[k] <= '9'; };
  while (place > 0 && digit(place) && digit(place - 1)) --place;
  return place >= 2 && digit(place) && text[place - 1] == ',' && digit(place - 2);
}

/// Builds the tree event by event, so that a key given twice and absurd nesting are seen, not swallowed.
class TreeBuilder {
 public:
  using number_integer_t = nlohmann::json::number_integer_t;
  using number_unsigned_t = nlohmann::json::number_unsigned_t;
  using number_float_t = nlohmann::json::number_float_t;
  using string_t = nlohmann::json::string_t;
  using binary_t = nlohmann::json::binary_t;

  TreeBuilder(const std::string& file, std::string_view text) : file_(file), text_(text) {}

  bool null() { return add(Raw()); }
  bool boolean(bool value) { return add(Raw(value)); }
  bool number_integer(number_integer_t value) { return add(Raw(static_cast<double>(value))); }
  bool number_unsigned(number_unsigned_t value) { return add(Raw(static_cast<double>(value))); }
  bool number_float(number_float_t value, const string_t&) { return add(Raw(value)); }
  bool string(string_t& value) { return add(Raw(std::move(value))); }
  bool binary(binary_t&) { return false; }

  bool start_object(std::size_t) { return open(Raw(Raw::Object{}), true); }
  bool start_array(std::size_t) { return open(Raw(Raw::List{}), false); }
  bool end_object() { return close(); }
  bool end_array() { return close(); }

  bool key(string_t& name) {
    Level& level = stack_.back();
    if (!level.keys.insert(name).second) {
      issues_.push_back({file_, model::pointer_to(pointer(), name), "this key is given twice"});
    }
    level.key = name;
    return true;
  }

  bool parse_error(std::size_t position, const std::string&, const nlohmann::detail::exception& problem) {
    // `position` counts the byte at fault too.
    const auto before = text_.substr(0, std::min(std::max<std::size_t>(position, 1) - 1, text_.size()));
    const auto line = 1 + std::count(before.begin(), before.end(), '\n');
    const auto start = before.rfind('\n');
    const auto column = base::column_width(start == std::string_view::npos ? before : before.substr(start + 1));
    const std::string place = fmt::format("line {}, column {}", line, column + 1);
    const std::string what = problem.what();
    if (what.find("number overflow") != std::string::npos) {
      issues_.push_back({file_, pointer_inside(), "the number at " + place + " is too large to be read"});
      return false;
    }
    const bool comma = is_decimal_comma(text_, before.size());
    issues_.push_back({file_, "", fmt::format("is not valid JSON at {}: {}{}", place, plain_words(what),
                                              comma ? "; decimals take a point, not a comma" : "")});
    return false;
  }

  const base::Issues& issues() const { return issues_; }
  Raw take() { return std::move(root_); }

 private:
  struct Level {
    Raw value;
    bool is_object;
    std::string key;
    std::set<std::string> keys;
  };

  /// Of the innermost open object or list.
  std::string pointer() const { return pointer_of(stack_.empty() ? 0 : stack_.size() - 1); }
  /// Of the value that comes next in it.
  std::string pointer_inside() const { return pointer_of(stack_.size()); }

  std::string pointer_of(std::size_t depth) const {
    std::string text;
    for (std::size_t k = 0; k < depth; ++k) {
      const Level& level = stack_[k];
      text = level.is_object ? model::pointer_to(text, level.key)
                             : model::pointer_to(text, level.value.list()->size());
    }
    return text;
  }

  bool refuse(std::string text) {
    issues_.push_back({file_, pointer(), std::move(text)});
    return false;
  }

  bool add(Raw value) {
    if (++count_ > most_values) return refuse(fmt::format("holds too many values (at most {})", most_values));
    if (stack_.empty()) {
      root_ = std::move(value);
    } else if (Level& level = stack_.back(); level.is_object) {
      level.value.object()->emplace_back(level.key, std::move(value));
    } else {
      level.value.list()->push_back(std::move(value));
    }
    return true;
  }

  bool open(Raw value, bool is_object) {
    if (stack_.size() >= most_depth) return refuse(fmt::format("is nested too deeply (at most {} levels)", most_depth));
    stack_.push_back({std::move(value), is_object, {}, {}});
    return true;
  }

  bool close() {
    Raw value = std::move(stack_.back().value);
    stack_.pop_back();
    return add(std::move(value));
  }

  const std::string& file_;
  std::string_view text_;
  std::vector<Level> stack_;
  Raw root_;
  std::size_t count_ = 0;
  base::Issues issues_;
};

bool is_short(const Raw::List& list) {
  if (list.size() > 64) return false;
  for (const Raw& item : list) {
    if (item.list() || item.object() || (item.text() && item.text()->size() > 20)) return false;
  }
  return true;
}

void append_text(const std::string& text, std::string& out) {
  // A name of a file may hold what no text of a job may: readers get the same text, and a terminal is not led
  // astray.
  const bool all_ascii = base::find_misleading(text, base::Lines::many).has_value();
  out += nlohmann::json(text).dump(-1, ' ', all_ascii, nlohmann::json::error_handler_t::replace);
}

void append(const Raw& value, std::size_t depth, std::string& out) {
  const std::string inner(2 * (depth + 1), ' ');
  if (value.is_null()) {
    out += "null";
  } else if (const bool* truth = value.boolean()) {
    out += *truth ? "true" : "false";
  } else if (const double* number = value.number()) {
    base::require(std::isfinite(*number), "a figure to be written is not finite");
    out += base::exact_text(*number);
  } else if (const std::string* text = value.text()) {
    append_text(*text, out);
  } else if (const Raw::List* list = value.list()) {
    const bool one_line = is_short(*list);
    out += '[';
    for (std::size_t k = 0; k < list->size(); ++k) {
      if (k > 0) out += one_line ? ", " : ",";
      if (!one_line) out += '\n' + inner;
      append((*list)[k], depth + 1, out);
    }
    if (!one_line && !list->empty()) out += '\n' + inner.substr(2);
    out += ']';
  } else {
    const Raw::Object& members = *value.object();
    out += '{';
    for (std::size_t k = 0; k < members.size(); ++k) {
      if (k > 0) out += ',';
      out += '\n' + inner;
      append_text(members[k].first, out);
      out += ": ";
      append(members[k].second, depth + 1, out);
    }
    if (!members.empty()) out += '\n' + inner.substr(2);
    out += '}';
  }
}

}  // namespace

base::Checked<Raw> parse_json(std::string_view text, const std::string& file) {
  if (text.size() > most_bytes) {
    return base::Issues{{file, "", fmt::format("is {} MB large (at most {} MB)", text.size() >> 20, most_bytes >> 20)}};
  }
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  if (text.find_first_not_of(" \t\r\n") == std::string_view::npos) {
    return base::Issues{{file, "", "is empty (a JSON object is wanted)"}};
  }
  // UTF-16 and binary files hold zero bytes; JSON text never does.
  if (text.find('\0') != std::string_view::npos) {
    return base::Issues{{file, "", "is not a text in UTF-8 (an editor can save it as that)"}};
  }
  TreeBuilder builder(file, text);
  const bool parsed = nlohmann::json::sax_parse(text.begin(), text.end(), &builder);
  if (!builder.issues().empty()) return builder.issues();
  base::require(parsed, "the JSON reader ended without a reason");
  return builder.take();
}

base::Checked<Raw> read_json_file(const std::string& path) {
  std::error_code problem;
  const auto status = std::filesystem::status(path, problem);
  if (!std::filesystem::exists(status)) return base::Issues{{path, "", "there is no such file"}};
  if (std::filesystem::is_directory(status)) return base::Issues{{path, "", "is a folder, not a file"}};
  if (std::filesystem::is_regular_file(status)) {
    const auto size = std::filesystem::file_size(path, problem);
    if (!problem && size > most_bytes) {
      return base::Issues{{path, "", fmt::format("is {} MB large (at most {} MB)", size >> 20, most_bytes >> 20)}};
    }
  }
  std::ifstream in(path, std::ios::binary);
  std::string text;
  if (in) {
    // A pipe has no size to look at beforehand: reading stops one byte past the limit.
    text.resize(most_bytes + 1);
    in.read(text.data(), static_cast<std::streamsize>(text.size()));
    text.resize(static_cast<std::size_t>(in.gcount()));
  }
  if (!in && !in.eof()) return base::Issues{{path, "", "cannot be read"}};
  return parse_json(text, path);
}

std::string write_json(const Raw& tree) {
  std::string out;
  append(tree, 0, out);
  out += '\n';
  return out;
}

}  // namespace latchwright::io
