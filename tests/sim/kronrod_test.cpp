// SPDX-License-Identifier: GPL-3.0-or-later
// Kronrod's rule of 7 points around Gauss's of 3: a rule is right when the moments of 1, x, x², ... are, up
// to the degree that the theory promises (11 and 5), and no further.
#include "sim/kronrod.h"

#include <catch2/catch.hpp>
#include <cmath>

using namespace latchwright;

namespace {

double moment(int power, double sim::KronrodNode::*weight) {
  double sum = 0;
  for (const auto& node : sim::kronrod_nodes) sum += node.*weight * std::pow(node.place, power);
  return sum;
}

}  // namespace

TEST_CASE("kronrod: moments of both rules", "[sim]") {
  for (int power = 0; power <= 11; ++power) {
    CAPTURE(power);
    CHECK(moment(power, &sim::KronrodNode::weight) == Approx(1.0 / (power + 1)).epsilon(1e-14));
    const double gauss = moment(power, &sim::KronrodNode::gauss_weight);
    if (power <= 5) CHECK(gauss == Approx(1.0 / (power + 1)).epsilon(1e-14));
    if (power > 5) CHECK(std::fabs(gauss - 1.0 / (power + 1)) > 1e-5);
  }
  CHECK(std::fabs(moment(12, &sim::KronrodNode::weight) - 1.0 / 13) > 1e-9);
}
