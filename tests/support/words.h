// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

namespace latchwright::tests {

/// These words stand in the text, just so.
inline bool holds(const std::string& text, const std::string& words) {
  return text.find(words) != std::string::npos;
}

}  // namespace latchwright::tests
