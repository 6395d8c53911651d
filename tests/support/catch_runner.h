// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace latchwright::tests {

/// Catch's own main function. It takes half a minute to compile, so all test programs share it.
int run_catch(int argc, char** argv);

}  // namespace latchwright::tests
