// SPDX-License-Identifier: GPL-3.0-or-later
#include "model/raw.h"

#include "base/text.h"

namespace latchwright::model {

const Raw* Raw::find(std::string_view key) const {
  if (const Object* members = object()) {
    for (const auto& [name, value] : *members) {
      if (name == key) return &value;
    }
  }
  return nullptr;
}

std::string_view Raw::type_name() const {
  static constexpr std::string_view names[] = {"null", "true or false", "a number",
                                               "a text", "a list", "an object"};
  return names[content_.index()];
}

std::string Raw::shown() const {
  if (const auto* value = number()) return base::exact_text(*value);
  if (const auto* value = text()) return '"' + base::printable(*value, 40) + '"';
  if (const auto* value = boolean()) return *value ? "true" : "false";
  return std::string(type_name());
}

}  // namespace latchwright::model
