// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/triage_added.h"

#include <algorithm>
#include <cmath>

#include "bench/reading_error.h"

namespace latchwright::bench {

namespace {

// Nodes of the table: even in arsinh(ohm / even_ohm), a tenth of the meter's error from one to the next.
constexpr double even_ohm = 2, step = 0.004, last_ohm = 2e7;

constexpr double far_sd = 6;  // farther than that from a figure nobody reads it

}  // namespace

double AddedOhms::at(double u) const {
  if (u < 1 - share) return 0;
  return low_ohm * std::pow(high_ohm / low_ohm, std::min(1.0, (u - (1 - share)) / share));
}

AddedDensity::AddedDensity(const AddedOhms& added, double shown_ohm)
    : added_(added),
      shown_ohm_(shown_ohm),
      nodes_(static_cast<std::size_t>(std::asinh(last_ohm / even_ohm) / step) + 2, -1.0) {}

double AddedDensity::integral(double base_ohm) const {
  double sum = added_.share < 1 ? (1 - added_.share) * ohmmeter.right_density(shown_ohm_, base_ohm) : 0;
  // Only where base and added lie about the figure shown.
  const auto [least, most] = ohmmeter.figures_about(shown_ohm_, far_sd);
  const double from = std::max(added_.low_ohm, least - base_ohm);
  const double to = std::min(added_.high_ohm, most - base_ohm);
  if (from >= to) return sum;
  constexpr int pieces = 48;
  const double width = std::log(to / from) / pieces;
  double over = 0;
  for (int k = 0; k < pieces; ++k) {
    over += ohmmeter.right_density(shown_ohm_, base_ohm + from * std::exp((k + 0.5) * width));
  }
  return sum + added_.share * over * width / std::log(added_.high_ohm / added_.low_ohm);
}

double AddedDensity::node(std::size_t place) const {
  double& value = nodes_[place];
  if (value < 0) value = integral(even_ohm * std::sinh(step * static_cast<double>(place)));
  return value;
}

double AddedDensity::of(double base_ohm) const {
  const double at = std::asinh(std::min(base_ohm, last_ohm) / even_ohm) / step;
  const auto place = static_cast<std::size_t>(at);
  const double share = at - static_cast<double>(place);
  return (1 - share) * node(place) + share * node(place + 1);
}

}  // namespace latchwright::bench
