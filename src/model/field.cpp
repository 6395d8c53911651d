// SPDX-License-Identifier: GPL-3.0-or-later
#include "model/field.h"

#include <fmt/format.h>

#include <cmath>

#include "base/text.h"

namespace latchwright::model {

std::string pointer_to(const std::string& pointer, std::string_view key) {
  std::string escaped;
  for (const char c : key) {
    if (c == '~') {
      escaped += "~0";
    } else if (c == '/') {
      escaped += "~1";
    } else {
      escaped += c;
    }
  }
  return pointer + "/" + base::printable(escaped, 200);
}

std::string pointer_to(const std::string& pointer, std::size_t index) {
  return pointer + "/" + std::to_string(index);
}

bool ReadContext::clean(const std::string& pointer) const {
  for (const auto& issue : issues) {
    if (issue.pointer == pointer || issue.pointer.starts_with(pointer + "/")) return false;
  }
  return true;
}

std::string entries_text(std::size_t count) { return fmt::format("{} {}", count, count == 1 ? "entry" : "entries"); }

std::string range_text(const FieldInfo& info) {
  const std::string unit = info.unit.empty() ? "" : " " + info.unit;
  if (!info.values.empty()) return fmt::format("{}{}", fmt::join(info.values, " or "), unit);
  return base::exact_text(info.low) + " to " + base::exact_text(info.high) + unit;
}

void add_wrong_type(const Raw& raw, std::string_view wanted, const std::string& pointer, ReadContext& context) {
  context.add(pointer, fmt::format("must be {}, not {}", wanted,
                                   raw.is_null() || raw.list() || raw.object() ? std::string(raw.type_name())
                                                                               : raw.shown()));
}

void add_unknown_key(const std::string& key, const std::vector<std::string>& known, const std::string& pointer,
                     ReadContext& context) {
  const std::string near = base::nearest_word(key, known);
  context.add(pointer, near.empty() ? fmt::format("unknown key (known here: {})", fmt::join(known, ", "))
                                    : "unknown key; did you mean \"" + near + "\"?");
}

void add_missing(const FieldInfo& info, const std::string& pointer, ReadContext& context) {
  std::string text = "is missing (" + info.meaning;
  if (info.kind == FieldKind::number || info.kind == FieldKind::whole) text += "; " + range_text(info);
  if (info.kind == FieldKind::number_list && !info.unit.empty()) text += "; in " + info.unit;
  // Some meanings explain each choice.
  if (!info.choices.empty() && info.meaning.find(info.choices.front()) == std::string::npos) text += fmt::format("; one of {}", fmt::join(info.choices, ", "));
  context.add(pointer, text + ")");
}

namespace {

std::optional<double> checked_number(double value, const FieldInfo& info, const std::string& pointer,
                                     ReadContext& context) {
  if (!std::isfinite(value)) {
    context.add(pointer, "is not a finite number (" + range_text(info) + ")");
    return std::nullopt;
  }
  if (!info.values.empty()) {
    for (const double permitted : info.values) {
      if (value == permitted) return value;
    }
    context.add(pointer, fmt::format("{} must be {}", base::exact_text(value), range_text(info)));
    return std::nullopt;
  }
  if (value < info.low || value > info.high) {
    context.add(pointer, fmt::format("{}{} is outside the permitted range ({})", base::exact_text(value),
                                     info.unit.empty() ? "" : " " + info.unit, range_text(info)));
    return std::nullopt;
  }
  if (info.kind == FieldKind::whole && value != std::floor(value)) {
    context.add(pointer, fmt::format("{} must be a whole number ({})", base::exact_text(value), range_text(info)));
    return std::nullopt;
  }
  return value;
}

}  // namespace

std::optional<double> read_number(const Raw& raw, const FieldInfo& info, const std::string& pointer,
                                  ReadContext& context) {
  if (const double* value = raw.number()) return checked_number(*value, info, pointer, context);
  add_wrong_type(raw, "a number (" + range_text(info) + (info.kind == FieldKind::gate_list ? ") or null" : ")"),
                 pointer, context);
  return std::nullopt;
}

std::optional<std::string> read_text(const Raw& raw, const FieldInfo& info, const std::string& pointer,
                                     ReadContext& context) {
  const std::string* value = raw.text();
  if (value == nullptr) {
    const std::string wanted = info.kind == FieldKind::reference    ? "an id, or null where it is to be chosen"
                               : info.kind == FieldKind::identifier ? "an id"
                               : info.kind == FieldKind::choice
                                   ? fmt::format("one of {}", fmt::join(info.choices, ", "))
                                   : "a text";
    add_wrong_type(raw, wanted, pointer, context);
    return std::nullopt;
  }
  const auto length = static_cast<double>(base::column_width(*value));
  if (length > info.high) {
    context.add(pointer, fmt::format("is {} characters long (at most {})", length, info.high));
    return std::nullopt;
  }
  const bool is_name = info.kind == FieldKind::identifier || info.kind == FieldKind::reference;
  if (length < info.low) {
    context.add(pointer, "must not be empty");
    return std::nullopt;
  }
  const auto lines = info.many_lines ? base::Lines::many : base::Lines::one;
  if (const auto place = base::find_misleading(*value, lines)) {
    context.add(pointer, fmt::format("{}: character {} {} (U+{:04X}); {} of plain text {} wanted",
                                     raw.shown(), place->character, place->what, place->code_point,
                                     info.many_lines ? "lines" : "one line", info.many_lines ? "are" : "is"));
    return std::nullopt;
  }
  const bool plain = value->find_first_not_of("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789._-") ==
                     std::string::npos;
  if (is_name && !plain) {
    context.add(pointer, raw.shown() + " is not an id (letters, digits, dots, hyphens and underscores only)");
    return std::nullopt;
  }
  if (info.kind == FieldKind::choice) {
    for (const auto& choice : info.choices) {
      if (choice == *value) return *value;
    }
    const std::string near = base::nearest_word(*value, info.choices);
    context.add(pointer, fmt::format("{} is not one of {}{}", raw.shown(), fmt::join(info.choices, ", "),
                                     near.empty() ? "" : "; did you mean \"" + near + "\"?"));
    return std::nullopt;
  }
  return *value;
}

std::optional<std::vector<std::optional<double>>> read_list(const Raw& raw, const FieldInfo& info,
                                                            const std::string& pointer, ReadContext& context) {
  const Raw::List* items = raw.list();
  if (items == nullptr) {
    add_wrong_type(raw, "a list of numbers", pointer, context);
    return std::nullopt;
  }
  if (items->size() < info.min_items || items->size() > info.max_items) {
    context.add(pointer, fmt::format("has {} ({} to {} permitted)", entries_text(items->size()), info.min_items,
                                     info.max_items));
    return std::nullopt;
  }
  std::vector<std::optional<double>> values;
  bool good = true;
  for (std::size_t k = 0; k < items->size(); ++k) {
    const Raw& item = (*items)[k];
    if (item.is_null() && info.kind == FieldKind::gate_list) {
      values.emplace_back();
    } else {
      values.push_back(read_number(item, info, pointer_to(pointer, k), context));
      good = good && values.back().has_value();
    }
  }
  if (!good) return std::nullopt;
  return values;
}

double to_file_unit(double si, double scale) {
  // 15 digits: every decimal a person typed comes back as typed, though value * scale / scale may be an ulp off.
  return base::number_in(fmt::format("{:.15g}", si / scale));
}

}  // namespace latchwright::model
