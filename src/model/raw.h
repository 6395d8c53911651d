// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

namespace latchwright::model {

/// Unchecked input as it stands in a file: a tree of values, keys in the file's order. Raw input is never
/// simulated; the checker turns it into records or into a list of faults.
class Raw {
 public:
  using List = std::vector<Raw>;
  using Object = std::vector<std::pair<std::string, Raw>>;

  Raw() = default;
  Raw(bool value) : content_(value) {}
  Raw(double value) : content_(value) {}
  Raw(int value) : content_(static_cast<double>(value)) {}
  Raw(std::string value) : content_(std::move(value)) {}
  Raw(const char* value) : content_(std::string(value)) {}
  Raw(List value) : content_(std::move(value)) {}
  Raw(Object value) : content_(std::move(value)) {}

  bool is_null() const { return content_.index() == 0; }
  const bool* boolean() const { return std::get_if<bool>(&content_); }
  const double* number() const { return std::get_if<double>(&content_); }
  const std::string* text() const { return std::get_if<std::string>(&content_); }
  const List* list() const { return std::get_if<List>(&content_); }
  const Object* object() const { return std::get_if<Object>(&content_); }
  List* list() { return std::get_if<List>(&content_); }
  Object* object() { return std::get_if<Object>(&content_); }

  /// The value of a key of an object; null pointer when absent or when this is no object.
  const Raw* find(std::string_view key) const;

  /// "a number", "an object", … for fault texts.
  std::string_view type_name() const;

  /// The value itself, short, for fault texts: `12.5`, `"abc"`, `an object`.
  std::string shown() const;

 private:
  std::variant<std::monostate, bool, double, std::string, List, Object> content_;
};

}  // namespace latchwright::model
