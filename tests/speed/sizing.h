// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>

namespace latchwright::tests::speed {

/// How long choosing takes on two workers, by the clock on the wall, s.
struct SizingTimes {
  double estate_s;  ///< the five-door example with every part open, from the whole catalogue
  double large_s;   ///< the same from 2000 actuators, 10 wires and 12 fuses
  std::size_t large_actuators, large_sets;
};

SizingTimes measure_sizing();

}  // namespace latchwright::tests::speed
