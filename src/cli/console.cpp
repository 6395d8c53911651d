// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/console.h"

#include <fmt/format.h>
#include <unistd.h>

#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <cstring>

#include "base/failure.h"
#include "base/text.h"

namespace latchwright::cli {

namespace {

volatile std::sig_atomic_t interrupted = 0;

extern "C" void take_interrupt(int) { interrupted = 1; }

}  // namespace

void print(const std::string& text) {
  if (std::fwrite(text.data(), 1, text.size(), stdout) != text.size() || std::fflush(stdout) != 0) {
    throw base::UsageError("standard output cannot be written");
  }
}

void complain(const std::string& text) {
  // Where standard error fails there is nobody left to tell.
  static_cast<void>(std::fwrite(text.data(), 1, text.size(), stderr));
  static_cast<void>(std::fflush(stderr));
}

void complain_of(const base::Issues& issues) {
  for (std::size_t k = 0; k < issues.size() && k < most_faults_told; ++k) {
    complain(base::printable(issues[k].line(), longest_fault) + "\n");
  }
  if (issues.size() <= most_faults_told) return;
  const std::size_t more = issues.size() - most_faults_told;
  complain(fmt::format("and {} {} more\n", more, more == 1 ? "fault" : "faults"));
}

report::Style terminal_style() {
  // NOLINTBEGIN(concurrency-mt-unsafe): nothing here changes the environment.
  const char* no_color = std::getenv("NO_COLOR");
  const char* term = std::getenv("TERM");
  // NOLINTEND(concurrency-mt-unsafe)
  const bool refused = (no_color != nullptr && *no_color != '\0') || (term != nullptr && std::strcmp(term, "dumb") == 0);
  return {.colour = !refused && ::isatty(STDOUT_FILENO) == 1};
}

ConsoleProgress::ConsoleProgress(bool quiet)
    : shows_(!quiet && ::isatty(STDERR_FILENO) == 1),
      start_(std::chrono::steady_clock::now()),
      last_(start_) {
  static_cast<void>(std::signal(SIGINT, take_interrupt));
}

ConsoleProgress::~ConsoleProgress() {
  static_cast<void>(std::signal(SIGINT, SIG_DFL));
  if (shown_) complain("\r\033[K");
}

void ConsoleProgress::report(double fraction, std::string_view what) {
  if (!shows_) return;
  const std::lock_guard lock(mutex_);
  const auto now = std::chrono::steady_clock::now();
  if (now - start_ < std::chrono::milliseconds(500) || now - last_ < std::chrono::milliseconds(100)) return;
  last_ = now;
  shown_ = true;
  // Told when enough is done to go by.
  const double spent_s = std::chrono::duration<double>(now - start_).count();
  const bool known = spent_s >= 2 && fraction >= 0.01 && fraction < 1;
  complain(fmt::format("\r\033[K{} {:.0f} %{}", what, 100 * fraction,
                       known ? fmt::format(", {} left", base::wait_text(spent_s * (1 - fraction) / fraction))
                             : std::string()));
}

bool ConsoleProgress::cancelled() const { return interrupted != 0; }

}  // namespace latchwright::cli
