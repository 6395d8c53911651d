// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/verbs.h"
#include "report/picture_writer.h"

int main(int argc, char** argv) {
  return latchwright::cli::run_program(argc, argv, latchwright::report::make_picture_writer);
}
