// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <stdexcept>
#include <string>

namespace latchwright::base {

/// Bad usage or an input that cannot be read at all: the program ends with exit code 2.
class UsageError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

/// A study that cannot be solved; says which door, at what time, in which state. Exit code 3.
class StudyError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

/// A study that takes more work than any study may (docs/model.md section 9). Exit code 3.
class BudgetError : public StudyError {
 public:
  using StudyError::StudyError;
};

/// The user asked a long study to end; nothing was half-written.
class Cancelled : public std::runtime_error {
 public:
  Cancelled() : std::runtime_error("cancelled") {}
};

/// A fault of the program itself, where a condition that must hold does not. Exit code 3.
class InternalError : public std::logic_error {
 public:
  using std::logic_error::logic_error;
};

inline void require(bool condition, const char* what) {
  if (!condition) throw InternalError(std::string("internal fault: ") + what);
}

}  // namespace latchwright::base
