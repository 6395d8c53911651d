// SPDX-License-Identifier: GPL-3.0-or-later
#include "spread/figures.h"

#include <cmath>

#include "base/failure.h"

namespace latchwright::spread {

namespace {

const double log_width = std::log1p(1e-3);

}  // namespace

const std::vector<Figure>& figures() {
  static const std::vector<Figure> rows{
      {trip_figure, "time to the first thermistor's trip, all doors held", "s", true, 0,
       "no thermistor trips in 10 min"},
      {winding_figure, "hottest winding, all doors held for 10 min", "°C", false, 0.05, ""},
      {throw_figure, "slowest first throw, weakest battery and coldest air", "s", true, 0,
       "a first throw is missed"},
      {recovery_figure, "rest until it works again, of those that stop", "s", true, 0,
       "it does not stop before the wanted cycles, or no rest brings the throw back"},
  };
  return rows;
}

std::int64_t bin_of(const Figure& figure, double value) {
  base::require(std::isfinite(value) && (!figure.logarithmic || value > 0), "a figure that has a bin");
  return static_cast<std::int64_t>(
      std::floor(figure.logarithmic ? std::log(value) / log_width : value / figure.width));
}

double bin_low(const Figure& figure, std::int64_t bin) {
  const auto number = static_cast<double>(bin);
  return figure.logarithmic ? std::exp(number * log_width) : number * figure.width;
}

}  // namespace latchwright::spread
