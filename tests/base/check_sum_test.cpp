// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/check_sum.h"

#include <catch2/catch.hpp>

using namespace latchwright;

TEST_CASE("check sum: the vectors that Fowler, Noll and Vo publish for FNV-1a", "[base]") {
  // 64 bits; from memory.
  CHECK(base::check_sum("") == 0xcbf29ce484222325u);
  CHECK(base::check_sum("a") == 0xaf63dc4c8601ec8cu);
  CHECK(base::check_sum("foobar") == 0x85944171f73967e8u);
}

TEST_CASE("check sum: as people compare it", "[base]") {
  CHECK(base::check_sum_text(0xcbf29ce484222325u) == "cbf2-9ce4-8422-2325");
  CHECK(base::check_sum_text(0x1u) == "0000-0000-0000-0001");
}
