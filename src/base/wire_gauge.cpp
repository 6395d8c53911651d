// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/wire_gauge.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <numbers>

namespace latchwright::base {

namespace {

// The odd sizes above 1 are hard to come by.
constexpr int sold_sizes[] = {-3, -2, -1, 0, 1, 2, 4, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30};

constexpr double as_good_as = 0.99;  // figures of one and the same size differ by less

}  // namespace

double awg_area_mm2(int size) {
  const double diameter_mm = 0.127 * std::pow(92.0, (36.0 - size) / 39.0);
  return std::numbers::pi / 4 * diameter_mm * diameter_mm;
}

std::optional<WireGauge> gauge_for(double area_mm2) {
  const auto thinnest = std::find_if(std::rbegin(sold_sizes), std::rend(sold_sizes),
                                     [&](int size) { return awg_area_mm2(size) >= as_good_as * area_mm2; });
  if (thinnest == std::rend(sold_sizes)) return std::nullopt;
  return WireGauge{*thinnest, awg_area_mm2(*thinnest) * as_good_as <= area_mm2};
}

std::string gauge_text(int size) { return size > 0 ? std::to_string(size) : fmt::format("{}/0", 1 - size); }

std::string area_text(double area_mm2) { return fmt::format("{:g} mm²", area_mm2); }

}  // namespace latchwright::base
