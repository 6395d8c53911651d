// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace latchwright::spread {

/// How long a standstill is looked at, s.
inline constexpr double held_s = 600;

/// A figure whose spread is kept in bins that are fixed ahead, so that slices add up.
struct Figure {
  const char* name;  ///< stable
  const char* title;
  const char* unit;
  bool logarithmic;          ///< bins 0.1 % wide; else even ones
  double width;              ///< of even bins, in the unit
  const char* without_text;  ///< what it means to have none; empty: all have it
};

inline constexpr const char* trip_figure = "trip_time_s";
inline constexpr const char* winding_figure = "peak_winding_C";
inline constexpr const char* throw_figure = "first_throw_s";
inline constexpr const char* recovery_figure = "recovery_s";
const std::vector<Figure>& figures();

/// Number of the bin that holds the value; values of logarithmic figures are above 0.
std::int64_t bin_of(const Figure& figure, double value);
/// Lower end of a bin; the upper one is that of the next.
double bin_low(const Figure& figure, std::int64_t bin);

}  // namespace latchwright::spread
