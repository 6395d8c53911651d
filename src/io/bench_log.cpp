// SPDX-License-Identifier: GPL-3.0-or-later
#include "io/bench_log.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <limits>
#include <optional>

#include "base/text.h"

namespace latchwright::io {

namespace {

constexpr double missing = std::numeric_limits<double>::quiet_NaN();

/// One of the figures that a log may hold. SI value = field * scale + shift.
struct Unit {
  std::string_view name;
  double scale;
  double shift = 0;
};
struct Quantity {
  std::string_view name;
  std::vector<Unit> units;  ///< the first is SI
  double low, high;         ///< in SI
  bool required;
};
const std::vector<Quantity>& quantities() {
  static const std::vector<Quantity> all{
      {"time", {{"s", 1}, {"ms", 1e-3}, {"us", 1e-6}, {"min", 60}}, -1e10, 1e10, true},
      {"current", {{"A", 1}, {"mA", 1e-3}}, -500, 500, true},
      {"voltage", {{"V", 1}, {"mV", 1e-3}}, -100, 100, true},
      {"case", {{"C", 1}, {"F", 5.0 / 9, -160.0 / 9}, {"K", 1, -273.15}}, -80, 400, false}};
  return all;
}

std::string_view trimmed(std::string_view text) {
  const auto begin = text.find_first_not_of(" \t\r");
  if (begin == std::string_view::npos) return {};
  return text.substr(begin, text.find_last_not_of(" \t\r") - begin + 1);
}

std::string_view unquoted(std::string_view field) {
  field = trimmed(field);
  if (field.size() >= 2 && field.front() == '"' && field.back() == '"')
    field = trimmed(field.substr(1, field.size() - 2));
  return field;
}

/// A line's fields, cut at the separator, but not inside quotation marks.
void split(std::string_view line, char separator, std::vector<std::string_view>& fields) {
  fields.clear();
  std::size_t begin = 0;
  bool quoted = false;
  for (std::size_t k = 0; k <= line.size(); ++k) {
    if (k < line.size() && line[k] == '"') quoted = !quoted;
    if (k == line.size() || (line[k] == separator && !quoted)) {
      fields.push_back(unquoted(line.substr(begin, k - begin)));
      begin = k + 1;
    }
  }
}

std::string lower(std::string_view text) {
  std::string out;
  for (const char c : text) out += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  return out;
}

bool stands_for_missing(std::string_view field) {
  if (field.empty()) return true;
  if (field.size() > 3) return false;
  const std::string word = lower(field);
  return word == "nan" || word == "na" || word == "n/a" || word == "-" || word == "--";
}

std::string range_of(const Quantity& quantity) {
  return fmt::format("{} to {} {}", quantity.low, quantity.high, quantity.units[0].name);
}

class Reader {
 public:
  Reader(std::string_view text, const std::string& file) : text_(text), file_(file) { log_.name = file; }

  base::Checked<model::BenchLog> read() {
    if (text_.starts_with("\xEF\xBB\xBF")) text_.remove_prefix(3);
    if (text_.find('\0') != std::string_view::npos) {
      fault(0, "is not a text in UTF-8 (an editor can save it as that)");
      return issues_;
    }
    bool headed = false;
    for (std::size_t begin = 0; begin < text_.size() && faults_ < 1000;) {
      const std::size_t end = std::min(text_.find_first_of("\n\r", begin), text_.size());
      const std::string_view raw = text_.substr(begin, end - begin);
      // CRLF is one line end.
      begin = end + (end + 1 < text_.size() && text_[end] == '\r' && text_[end + 1] == '\n' ? 2 : 1);
      ++line_;
      const std::string_view line = trimmed(raw);
      if (line.empty() || line.front() == '#') continue;
      if (!headed) {
        headed = true;
        if (!read_header(raw)) return finished();
      } else {
        read_row(raw);
      }
      if (log_.time_s.size() > most_log_samples) {
        fault(line_, fmt::format("is the first row too many (at most {})", most_log_samples));
        break;
      }
    }
    if (!headed) fault(0, "holds no log (a header such as time_s,current_A,voltage_V is wanted)");
    if (headed && faults_ == 0 && log_.time_s.empty()) fault(0, "holds a header and no samples");
    return finished();
  }

 private:
  base::Checked<model::BenchLog> finished() {
    if (faults_ == 0) return std::move(log_);
    if (faults_ > issues_.size()) {
      const std::size_t more = faults_ - issues_.size();
      issues_.push_back(
          {file_, "", fmt::format("has {}{} faults more", more, faults_ >= 1000 ? " or even more" : "")});
    }
    return issues_;
  }

  void fault(std::size_t line, std::string text) {
    if (++faults_ > most_log_faults) return;
    issues_.push_back({line == 0 ? file_ : fmt::format("{}:{}", file_, line), "", std::move(text)});
  }

  bool read_header(std::string_view line) {
    // A tab or semicolon never stands inside a name; a comma may stand in "case, winding side".
    separator_ = line.find('\t') != std::string_view::npos  ? '\t'
                 : line.find(';') != std::string_view::npos ? ';'
                                                            : ',';
    split(line, separator_, fields_);
    header_width_ = fields_.size();
    for (std::size_t at = 0; at < fields_.size(); ++at) take_column(fields_[at], at);
    std::vector<std::string> seen;
    for (const auto field : fields_) seen.emplace_back(base::printable(field, 40));
    for (std::size_t q = 0; q < quantities().size(); ++q) {
      const Quantity& quantity = quantities()[q];
      if (columns_[q].unit) continue;
      if (!unit_fault_[q].empty()) {
        fault(line_, unit_fault_[q]);
        continue;
      }
      if (!quantity.required) continue;
      const std::string near =
          base::nearest_word(fmt::format("{}_{}", quantity.name, quantity.units[0].name), seen);
      fault(line_,
            fmt::format("has no column {}_{} (the first row names the columns{})", quantity.name,
                        quantity.units[0].name, near.empty() ? std::string() : "; is it \"" + near + "\"?"));
    }
    return faults_ == 0;
  }

  /// "time_s", "Time (ms)", "current [mA]", "voltage / V". Other columns are not looked at.
  void take_column(std::string_view name, std::size_t at) {
    for (std::size_t q = 0; q < quantities().size(); ++q) {
      const Quantity& quantity = quantities()[q];
      if (!lower(name).starts_with(quantity.name)) continue;
      std::string_view rest = trimmed(name.substr(quantity.name.size()));
      const bool parted =
          !rest.empty() && std::string_view("_([/").find(rest.front()) != std::string_view::npos;
      if (!rest.empty() && !parted) continue;
      if (parted) rest = trimmed(rest.substr(1));
      if (!rest.empty() && (rest.back() == ')' || rest.back() == ']'))
        rest = trimmed(rest.substr(0, rest.size() - 1));
      if (rest.starts_with("°")) rest.remove_prefix(std::string_view("°").size());
      if (rest == "µs") rest = "us";
      const Unit* unit = nullptr;
      std::vector<std::string> names;
      for (const Unit& known : quantity.units) {
        names.push_back(fmt::format("{}_{}", quantity.name, known.name));
        if (rest == known.name || (unit == nullptr && lower(rest) == lower(known.name))) unit = &known;
      }
      if (unit == nullptr) {
        // No fault where another column serves: a logger may write its limits too.
        unit_fault_[q] = fmt::format("\"{}\": the unit is missing or unknown (one of {})",
                                     base::printable(name, 40), fmt::join(names, ", "));
      } else if (columns_[q].unit) {
        fault(line_, fmt::format("\"{}\": there is a column for {} already", base::printable(name, 40),
                                 quantity.name));
      } else {
        columns_[q] = {unit, at, std::string(name)};
      }
      return;
    }
  }

  /// The number of a field, with a comma for its point where commas do not part columns.
  std::optional<double> number(std::string_view field) {
    std::string swapped;
    if (separator_ != ',' && field.find(',') != std::string_view::npos) {
      if (field.size() > 60 || field.find('.') != std::string_view::npos) return std::nullopt;
      swapped = field;
      std::replace(swapped.begin(), swapped.end(), ',', '.');
      field = swapped;
    }
    if (field.starts_with('+')) field.remove_prefix(1);
    double value = 0;
    const char* const end = field.data() + field.size();
    const auto read = std::from_chars(field.data(), end, value);
    if (read.ec != std::errc() || read.ptr != end || !std::isfinite(value)) return std::nullopt;
    return value;
  }

  void read_row(std::string_view line) {
    split(line, separator_, fields_);
    std::array<double, 4> values;
    values.fill(missing);
    for (std::size_t q = 0; q < columns_.size(); ++q) {
      const Column& column = columns_[q];
      if (!column.unit) continue;
      const Quantity& quantity = quantities()[q];
      const std::string_view field = column.at < fields_.size() ? fields_[column.at] : std::string_view();
      if (stands_for_missing(field)) {
        if (q == 0) return fault(line_, fmt::format("{}: a row needs its time", column.name));
        continue;
      }
      const auto value = number(field);
      if (!value) {
        return fault(line_, fmt::format("{}: \"{}\" is not a number ({})", column.name,
                                        base::printable(field, 40), range_of(quantity)));
      }
      values[q] = *value * column.unit->scale + column.unit->shift;
      if (values[q] < quantity.low || values[q] > quantity.high) {
        return fault(line_, fmt::format("{}: {} is outside the permitted range ({})", column.name,
                                        base::exact_text(*value), range_of(quantity)));
      }
    }
    // A comma as decimal sign and as separator at once shows as rows with too many fields.
    if (fields_.size() > header_width_ && !(fields_.size() == header_width_ + 1 && fields_.back().empty())) {
      return fault(line_,
                   fmt::format("has {} fields where the header has {}{}", fields_.size(), header_width_,
                               separator_ == ',' ? " (decimal commas want ; or tabs between columns)" : ""));
    }
    if (!log_.time_s.empty() && !(values[0] > log_.time_s.back())) {
      return fault(line_, fmt::format("{}: {} s must come after the row before it ({} s)", columns_[0].name,
                                      base::exact_text(values[0]), base::exact_text(log_.time_s.back())));
    }
    log_.time_s.push_back(values[0]);
    log_.current_A.push_back(values[1]);
    log_.voltage_V.push_back(values[2]);
    if (columns_[3].unit) log_.case_C.push_back(values[3]);
  }

  struct Column {
    const Unit* unit = nullptr;
    std::size_t at = 0;
    std::string name;
  };

  std::string_view text_;
  const std::string& file_;
  std::size_t line_ = 0;
  char separator_ = ',';
  std::size_t header_width_ = 0;
  std::array<Column, 4> columns_;  // as quantities()
  std::array<std::string, 4> unit_fault_;
  std::vector<std::string_view> fields_;
  model::BenchLog log_;
  std::size_t faults_ = 0;
  base::Issues issues_;
};

}  // namespace

base::Checked<model::BenchLog> parse_bench_log(std::string_view text, const std::string& file) {
  return Reader(text, file).read();
}

base::Checked<model::BenchLog> read_bench_log(const std::string& path) {
  std::error_code problem;
  const auto status = std::filesystem::status(path, problem);
  if (!std::filesystem::exists(status)) return base::Issues{{path, "", "there is no such file"}};
  if (std::filesystem::is_directory(status)) return base::Issues{{path, "", "is a folder, not a file"}};
  std::ifstream in(path, std::ios::binary);
  std::string text;
  // In blocks: a pipe has no size to look at beforehand.
  std::vector<char> block(1u << 20);
  while (in && text.size() <= most_log_bytes) {
    in.read(block.data(), static_cast<std::streamsize>(block.size()));
    text.append(block.data(), static_cast<std::size_t>(in.gcount()));
  }
  if (!in && !in.eof()) return base::Issues{{path, "", "cannot be read"}};
  if (text.size() > most_log_bytes) {
    return base::Issues{{path, "", fmt::format("is larger than {} MB", most_log_bytes >> 20)}};
  }
  auto log = parse_bench_log(text, path);
  // It stands in tables, pictures and notes: long names are not cut, whatever they hold.
  if (log.ok()) {
    const std::string name = std::filesystem::path(path).filename().string();
    log.value().name = base::printable(name, 6 * name.size());
  }
  return log;
}

}  // namespace latchwright::io
