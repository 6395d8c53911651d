// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>
#include <string>

#include "physics/copper.h"
#include "physics/wire_heating.h"
#include "support/published.h"

using namespace latchwright;
using tests::check_published;
using tests::check_published_share;

namespace {

constexpr double pi = 3.14159265358979323846;
constexpr double rho20 = 1e-6 / 58;  // ohm·m, 17.241e-9, IEC 60028 (from memory)

/// m, ASTM B258 (from memory).
double awg_diameter(int number) { return 0.127e-3 * std::pow(92, (36 - number) / 39.0); }

}  // namespace

TEST_CASE("AWG diameters and resistances of solid wire", "[published][copper]") {
  struct Row {
    int number;
    double inch;        // Lessons in Electric Circuits, reference volume, wire table
    double ohm_per_km;  // computed from IEC 60028 and ASTM B258
  };
  for (const Row& row : {Row{10, 0.1019, 3.277}, Row{12, 0.08081, 5.211}, Row{14, 0.06408, 8.286},
                         Row{16, 0.05082, 13.174}, Row{18, 0.04030, 20.948}, Row{20, 0.03196, 33.309}}) {
    CAPTURE(row.number);
    const double d = awg_diameter(row.number);
    const std::string name = "AWG " + std::to_string(row.number) + ": ";
    // Four printed digits.
    check_published_share({name + "diameter", "in", "Lessons in Electric Circuits, reference volume, wire table"},
                          d / 0.0254, row.inch, 5e-4);
    model::Wire wire;
    wire.area = pi / 4 * d * d;
    wire.ohm_per_m = rho20 / wire.area;
    wire.outside = d + 0.8e-3;
    wire.insulation_W_per_mK = 0.17;
    check_published({name + "resistance at 20 °C", "ohm/km", "computed from IEC 60028 and ASTM B258 (from memory)"},
                    1e3 * physics::WireHeating(wire, 1).ohm_per_m(20), row.ohm_per_km, 6e-4);
  }
}

TEST_CASE("copper's temperature of no resistance", "[published][copper]") {
  // -234.5 degC, IEC 60028 and IEC 60364-5-54; a20 = 0.00393 /K puts it at -234.45.
  check_published({"copper: resistance at -234.5 °C over that at 20 °C", "1", "IEC 60028, IEC 60364-5-54"},
                  physics::copper_resistance(1, 20, -234.5), 0, 5e-4);
  // Hot motor: winding at 100 degC against 20 degC, ratio (234.5 + 100)/(234.5 + 20) = 1.3143; printed 1.314.
  check_published({"copper: resistance at 100 °C over that at 20 °C", "1", "application note on hot motors"},
                  physics::copper_resistance(1, 20, 100), 1.314, 5e-4);
}
