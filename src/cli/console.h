// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <chrono>
#include <cstddef>
#include <mutex>
#include <string>

#include "base/issue.h"
#include "base/progress.h"
#include "cli/options.h"
#include "report/text_table.h"

namespace latchwright::cli {

/// Standard output in whole texts. Throws base::UsageError when it cannot take them (a full disk behind a pipe).
void print(const std::string& text);
/// Standard error.
void complain(const std::string& text);
/// Faults, each in its line; of very many the first ones and how many there are beside.
inline constexpr std::size_t most_faults_told = 200;
inline constexpr std::size_t longest_fault = 10000;  ///< characters; names of files may hold anything, line ends too
void complain_of(const base::Issues& issues);

/// Colour only on a terminal, and not where NO_COLOR is set to anything (no-color.org) or TERM is dumb.
report::Style terminal_style();

/// One line on standard error that says how far a long study is and how long it will yet take; silent when that is no terminal, when quiet, and
/// during the first half second. Ctrl-C cancels.
class ConsoleProgress final : public base::Progress {
 public:
  explicit ConsoleProgress(bool quiet);
  ~ConsoleProgress() override;
  ConsoleProgress(const ConsoleProgress&) = delete;
  ConsoleProgress& operator=(const ConsoleProgress&) = delete;

  void report(double fraction, std::string_view what) override;
  bool cancelled() const override;

 private:
  bool shows_;
  bool shown_ = false;
  std::chrono::steady_clock::time_point start_;
  std::chrono::steady_clock::time_point last_;
  std::mutex mutex_;
};

}  // namespace latchwright::cli
