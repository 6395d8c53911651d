// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/verbs.h"

int main(int argc, char** argv) { return latchwright::cli::run_program(argc, argv); }
