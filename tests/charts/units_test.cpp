// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <limits>
#include <ostream>

#include "qt_text.h"
#include "units/shown_unit.h"

using namespace latchwright;
using units::UnitSystem;

TEST_CASE("units: metric is what files hold") {
  for (const char* unit : {"°C", "K", "N", "mm", "m", "mN·m", "A", "s", "mm²", ""}) {
    const units::ShownUnit shown = units::shown_unit(unit, UnitSystem::metric);
    CHECK(shown.text.toStdString() == unit);
    CHECK(shown.shown(12.5) == 12.5);
  }
}

TEST_CASE("units: US customary by known pairs") {
  const auto us = [](const char* unit, double value) {
    return units::shown_unit(unit, UnitSystem::us).shown(value);
  };
  // Water freezes and boils; both scales meet at -40.
  CHECK(us("°C", 0) == Approx(32));
  CHECK(us("°C", 100) == Approx(212));
  CHECK(us("°C", -40) == Approx(-40));
  // A difference has no offset: 100 K between them are 180 °F.
  CHECK(us("K", 100) == 100);  // a difference stays one
  // NIST SP 811, appendix B (from memory): 1 lbf = 4.448222 N, 1 in = 25.4 mm, 1 ft = 0.3048 m,
  // 1 ozf·in = 7.061552 mN·m.
  CHECK(us("N", 4.448222) == Approx(1).epsilon(1e-6));
  CHECK(us("mm", 25.4) == Approx(1));
  CHECK(us("m", 0.3048) == Approx(1));
  CHECK(us("mN·m", 7.061552) == Approx(1).epsilon(1e-6));
  for (const char* unit : {"°C", "K", "N", "mm", "m", "mN·m", "A"}) {
    const units::ShownUnit shown = units::shown_unit(unit, UnitSystem::us);
    CHECK(shown.file(shown.shown(17.25)) == Approx(17.25));
  }
  CHECK(us("A", 3) == 3);
  CHECK(us("V", 3) == 3);
}

TEST_CASE("units: values as people read them") {
  CHECK(units::value_text(22, "N", UnitSystem::metric) == "22.0 N");
  CHECK(units::value_text(22, "N", UnitSystem::us) == "4.95 lbf");
  CHECK(units::value_text(-20, "°C", UnitSystem::us) == "-4.00 °F");
  CHECK(units::value_text(0.12345, "s", UnitSystem::us, 2) == "0.12 s");
  CHECK(units::value_text(1.05, "", UnitSystem::metric) == "1.05");
  CHECK(units::value_text(std::numeric_limits<double>::infinity(), "s", UnitSystem::metric) == "never");
}

TEST_CASE("units: wire sizes") {
  // Areas of ASTM B258 (from memory): 18 AWG 0.823, 16 AWG 1.31, 14 AWG 2.08, 12 AWG 3.31, 10 AWG 5.26,
  // 1 AWG 42.4, 1/0 AWG 53.5, 4/0 AWG 107.2 mm².
  CHECK(units::area_text(2.5, UnitSystem::metric) == "2.5 mm²");
  CHECK(units::area_text(0.75, UnitSystem::us) == "0.75 mm² (at least 18 AWG)");
  CHECK(units::area_text(1.31, UnitSystem::us) == "16 AWG (1.31 mm²)");
  CHECK(units::area_text(2.08, UnitSystem::us) == "14 AWG (2.08 mm²)");
  // A thinner size would have less copper than was computed with: 14 AWG is no 2.5 mm², 12 AWG no 4 mm².
  CHECK(units::area_text(1.5, UnitSystem::us) == "1.5 mm² (at least 14 AWG)");
  CHECK(units::area_text(2.5, UnitSystem::us) == "2.5 mm² (at least 12 AWG)");
  CHECK(units::area_text(4, UnitSystem::us) == "4 mm² (at least 10 AWG)");
  CHECK(units::area_text(42.4, UnitSystem::us) == "1 AWG (42.4 mm²)");
  CHECK(units::area_text(53.5, UnitSystem::us) == "1/0 AWG (53.5 mm²)");
  CHECK(units::area_text(107.2, UnitSystem::us) == "4/0 AWG (107.2 mm²)");
  // Thicker than any size; thinner than the thinnest.
  CHECK(units::area_text(500, UnitSystem::us) == "500 mm²");
  CHECK(units::area_text(0.001, UnitSystem::us) == "0.001 mm² (at least 30 AWG)");
}
