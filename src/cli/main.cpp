// SPDX-License-Identifier: GPL-3.0-or-later
#include <csignal>

#include "cli/verbs.h"
#include "report/picture_writer.h"

int main(int argc, char** argv) {
  // Where files may not grow on (ulimit -f), a write then fails and its reason is told, instead of the program ending
  // without a word and with a temporary left behind.
  static_cast<void>(std::signal(SIGXFSZ, SIG_IGN));
  return latchwright::cli::run_program(argc, argv, latchwright::report::make_picture_writer);
}
