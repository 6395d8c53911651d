// SPDX-License-Identifier: GPL-3.0-or-later
#define CATCH_CONFIG_RUNNER
#include "support/catch_runner.h"

#include <catch2/catch.hpp>

namespace latchwright::tests {

int run_catch(int argc, char** argv) { return Catch::Session().run(argc, argv); }

}  // namespace latchwright::tests
