// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <limits>

#include "model/parts.h"

// Fuses and wires by the figures that tables give, for the tests of this folder.
namespace latchwright::tests {

constexpr double infinity = std::numeric_limits<double>::infinity();

inline model::Fuse fuse_of(double rating_A) {
  model::Fuse fuse;
  fuse.rating_A = rating_A;
  return fuse;
}

inline model::Wire wire_of(double area_mm2, double mohm_per_m, double outside_mm, double k = 0.17) {
  model::Wire wire;
  wire.area = area_mm2 * 1e-6;
  wire.ohm_per_m = mohm_per_m * 1e-3;
  wire.outside = outside_mm * 1e-3;
  wire.class_C = 105;
  wire.short_time_C = 160;
  wire.insulation_W_per_mK = k;
  return wire;
}

}  // namespace latchwright::tests
