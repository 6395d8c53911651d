// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <string>

#include "base/issue.h"

// What a fuzzer looks for beside crashes.
namespace latchwright::fuzz {

/// A finding: says what does not hold and ends the program, so that the input is kept.
inline void must(bool condition, const std::string& what) {
  if (condition) return;
  std::fprintf(stderr, "FINDING: not so: %s\n", what.c_str());
  std::abort();
}

/// Every fault is one line of readable length, and a refusal has at least one.
inline void must_be_lines(const base::Issues& issues) {
  must(!issues.empty(), "a refusal says why");
  for (const base::Issue& issue : issues) {
    const std::string line = issue.line();
    must(line.size() < 4000, "a fault is told in readable length");
    for (const char c : line)
      must(static_cast<unsigned char>(c) >= 0x20 && c != 0x7f, "a fault is one line: " + line);
  }
}

}  // namespace latchwright::fuzz
