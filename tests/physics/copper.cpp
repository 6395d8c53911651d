// SPDX-License-Identifier: GPL-3.0-or-later
#include "physics/copper.h"

#include <catch2/catch.hpp>

using latchwright::physics::copper_resistance;

TEST_CASE("copper follows its straight line from any reference", "[physics][copper]") {
  CHECK(copper_resistance(2.0, 25, 25) == Approx(2.0).epsilon(1e-14));
  // By hand: 1 + 0.00393 · 80 = 1.3144.
  CHECK(copper_resistance(1.0, 20, 100) == Approx(1.3144).epsilon(1e-12));
  // There and back.
  CHECK(copper_resistance(copper_resistance(1.7, 25, 140), 140, 25) == Approx(1.7).epsilon(1e-14));
  // Through a third temperature or straight.
  CHECK(copper_resistance(copper_resistance(1.7, 25, -40), -40, 90) ==
        Approx(copper_resistance(1.7, 25, 90)).epsilon(1e-14));
}
