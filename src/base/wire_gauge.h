// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>

// American wire gauge beside mm². ASTM B258 (from memory): d(n) = 0.127 mm * 92^((36-n)/39); 1/0 counts as 0,
// 2/0 as -1, 4/0 as -3.
namespace latchwright::base {

/// Area of a solid conductor of this size, mm².
double awg_area_mm2(int size);

/// A size for an area that was computed with.
struct WireGauge {
  int size = 0;
  bool same = false;  ///< it is that area, to 1 %; else it has more copper
};
/// The thinnest size that is sold (30 AWG to 4/0; of the odd ones above 1 none) with as much copper: never
/// one with less than was computed with. None above 4/0.
std::optional<WireGauge> gauge_for(double area_mm2);

/// "16", "1/0".
std::string gauge_text(int size);

/// "1.5 mm²": six digits, more than any size has, and none of the rounding of m² into mm².
std::string area_text(double area_mm2);

}  // namespace latchwright::base
