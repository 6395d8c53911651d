// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/wire_gauge.h"

#include <catch2/catch.hpp>

using namespace latchwright;

TEST_CASE("wire gauge: areas as printed in tables of ASTM B258", "[base]") {
  // From memory: AWG and mm², to the printed digits.
  struct Row {
    int size;
    double area_mm2, within;
  };
  for (const auto& [size, area_mm2, within] :
       {Row{30, 0.0509, 5e-5}, Row{22, 0.326, 5e-4}, Row{18, 0.823, 5e-4}, Row{14, 2.08, 5e-3},
        Row{10, 5.26, 5e-3}, Row{1, 42.4, 5e-2}, Row{0, 53.5, 5e-2}, Row{-3, 107.2, 5e-2}}) {
    CAPTURE(size);
    CHECK(base::awg_area_mm2(size) == Approx(area_mm2).margin(within));
  }
}

TEST_CASE("wire gauge: never less copper than was computed with", "[base]") {
  // 16 AWG is 1.31 mm², 14 AWG 2.08 mm²: 1.5 mm² needs the latter.
  const auto gauge = base::gauge_for(1.5);
  REQUIRE(gauge);
  CHECK(gauge->size == 14);
  CHECK_FALSE(gauge->same);
  for (const double printed : {0.823, 1.31, 2.08, 3.31, 5.26}) CHECK(base::gauge_for(printed)->same);
  for (double area_mm2 = 0.05; area_mm2 < 107; area_mm2 *= 1.07) {
    CAPTURE(area_mm2);
    REQUIRE(base::gauge_for(area_mm2));
    CHECK(base::awg_area_mm2(base::gauge_for(area_mm2)->size) >= 0.99 * area_mm2);
  }
  CHECK_FALSE(base::gauge_for(120));
}

TEST_CASE("wire gauge: in words", "[base]") {
  CHECK(base::gauge_text(16) == "16");
  CHECK(base::gauge_text(1) == "1");
  CHECK(base::gauge_text(0) == "1/0");
  CHECK(base::gauge_text(-3) == "4/0");
  CHECK(base::area_text(1.5e-6 * 1e6) == "1.5 mm²");
  CHECK(base::area_text(0.35e-6 * 1e6) == "0.35 mm²");
}
