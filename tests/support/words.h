// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <string>
#include <vector>

namespace latchwright::tests {

/// These words stand in the text, just so.
inline bool holds(const std::string& text, const std::string& words) {
  return text.find(words) != std::string::npos;
}

/// They stand in one of the texts.
inline bool holds(const std::vector<std::string>& texts, const std::string& words) {
  return std::any_of(texts.begin(), texts.end(), [&](const std::string& text) { return holds(text, words); });
}

}  // namespace latchwright::tests
