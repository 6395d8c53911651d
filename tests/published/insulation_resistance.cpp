// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "physics/copper.h"
#include "support/published.h"

using latchwright::physics::copper_resistance;
using latchwright::tests::check_published;

TEST_CASE("rise of a winding by its resistance", "[published][copper]") {
  // 80 ohm at 20 degC, 100 ohm hot. Printed rises: 63.63 K with 234.5 (a worked example), 63.75 K with 235
  // (IEC 60034-1). The model's a20 = 0.00393 /K stands for 234.45: within 0.02 K and 0.14 K of them.
  const double per_kelvin = copper_resistance(80, 20, 21) - 80;
  const double rise = 20 / per_kelvin;
  CHECK(copper_resistance(80, 20, 20 + rise) == Approx(100).epsilon(1e-12));
  const char* const quantity = "winding of 80 ohm at 20 °C, 100 ohm hot: rise";
  check_published({quantity, "K", "a worked example with 234.5"}, rise, 63.63, 0.02);
  check_published({quantity, "K", "IEC 60034-1, with 235"}, rise, 63.75, 0.14);
}
