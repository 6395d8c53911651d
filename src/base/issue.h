// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace latchwright::base {

/// One fault of an input: which file, where in it (a JSON pointer, or empty), and what is wrong.
struct Issue {
  std::string file;
  std::string pointer;
  std::string text;

  /// `FILE: /path/to/key: what is wrong`, the one line that a user sees.
  std::string line() const { return file + ": " + (pointer.empty() ? "" : pointer + ": ") + text; }
};

using Issues = std::vector<Issue>;

/// Either a checked value or everything that is wrong with the input; never both, never neither.
template <class T>
class Checked {
 public:
  Checked(T value) : content_(std::move(value)) {}
  Checked(Issues issues) : content_(std::move(issues)) {}

  bool ok() const { return content_.index() == 0; }
  const T& value() const { return std::get<0>(content_); }
  T& value() { return std::get<0>(content_); }
  const Issues& issues() const { return std::get<1>(content_); }

 private:
  std::variant<T, Issues> content_;
};

}  // namespace latchwright::base
