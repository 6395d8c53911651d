// SPDX-License-Identifier: GPL-3.0-or-later
#include "choose/ranking.h"

#include <algorithm>
#include <cmath>

namespace latchwright::choose {

using model::Place;
using verdict::Verdict;

namespace {

constexpr std::size_t compared_margins = 4;

}  // namespace

bool cheaper(const Pick& a, const Pick& b, const std::vector<Place>& open) {
  if (a.price && b.price && *a.price != *b.price) return *a.price < *b.price;
  // A little copper is no reason for one more reel.
  constexpr double equal_copper = 0.05;
  const auto step = [](double copper) {
    return std::floor(std::log(std::max(copper, 1e-12)) / equal_copper);
  };
  if (step(a.set.copper) != step(b.set.copper)) return a.set.copper < b.set.copper;
  if (a.kinds != b.kinds) return a.kinds < b.kinds;
  if (std::fabs(a.set.copper - b.set.copper) > 1e-12) return a.set.copper < b.set.copper;
  for (const Place& place : open) {
    const auto& id_a = model::part_at(a.set.study, place)->id;
    const auto& id_b = model::part_at(b.set.study, place)->id;
    if (id_a != id_b) return id_a < id_b;
  }
  return false;
}

bool better(const Pick& a, const Pick& b, const std::vector<Place>& open) {
  const auto fails_a = a.set.count(Verdict::fails), fails_b = b.set.count(Verdict::fails);
  if (fails_a != fails_b) return fails_a < fails_b;
  const std::size_t count = std::min({a.set.margins.size(), b.set.margins.size(), compared_margins});
  for (std::size_t n = 0; n < count; ++n) {
    // Steps of equal ratio: an order, where "nearly equal" by itself would be none.
    const auto step = [](double margin) {
      return std::floor(std::log(std::max(margin, 1e-9)) / equal_margins);
    };
    const double step_a = step(a.set.margins[n]), step_b = step(b.set.margins[n]);
    if (step_a != step_b) return step_a > step_b;
  }
  return cheaper(a, b, open);
}

}  // namespace latchwright::choose
