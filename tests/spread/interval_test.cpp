// SPDX-License-Identifier: GPL-3.0-or-later
#include "spread/interval.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <functional>

#include "spread/latin_hypercube.h"

using namespace latchwright;

namespace {

/// P(X <= k) of a binomial, term by term.
double cumulative(int k, int n, double p) {
  double sum = 0;
  for (int j = 0; j <= k; ++j) {
    sum += std::exp(std::lgamma(n + 1.0) - std::lgamma(j + 1.0) - std::lgamma(n - j + 1.0) + j * std::log(p) +
                    (n - j) * std::log1p(-p));
  }
  return sum;
}

/// Share of seeds whose interval holds the chance.
double coverage(double chance, std::int64_t samples, std::size_t columns,
                const std::function<bool(const std::vector<double>&)>& happens) {
  constexpr std::uint64_t seeds = 300;
  int held = 0;
  for (std::uint64_t seed = 0; seed < seeds; ++seed) {
    const spread::LatinHypercube cube(samples, columns, seed);
    std::int64_t count = 0;
    for (std::int64_t i = 0; i < samples; ++i) count += happens(cube.places(i)) ? 1 : 0;
    const auto found = spread::chance_of(count, samples);
    if (found.low <= chance && chance <= found.high) ++held;
  }
  return static_cast<double>(held) / seeds;
}

}  // namespace

TEST_CASE("interval: its ends are where the counted or more, or fewer, have a chance of 2.5 %", "[spread]") {
  // What Clopper and Pearson (1934) define, with the binomial summed here.
  for (const auto& [count, of] : {std::pair{1, 20}, {7, 20}, {19, 20}, {3, 1000}, {500, 1000}}) {
    const auto chance = spread::chance_of(count, of);
    CAPTURE(count, of);
    CHECK(1 - cumulative(count - 1, of, chance.low) == Approx(0.025).epsilon(1e-6));
    CHECK(cumulative(count, of, chance.high) == Approx(0.025).epsilon(1e-6));
    CHECK(chance.estimate == Approx(static_cast<double>(count) / of));
  }
}

TEST_CASE("interval: none and all have closed forms", "[spread]") {
  // P(none of n) = (1 - p)^n.
  for (const int of : {1, 10, 2000}) {
    const double edge = std::pow(0.025, 1.0 / of);
    const auto none = spread::chance_of(0, of), all = spread::chance_of(of, of);
    CHECK(none.low == 0);
    CHECK(none.high == Approx(1 - edge));
    CHECK(all.low == Approx(edge));
    CHECK(all.high == 1);
  }
  const auto nothing = spread::chance_of(0, 0);
  CHECK(nothing.low == 0);
  CHECK(nothing.high == 1);
}

TEST_CASE("interval: it holds the chance of one parameter with a threshold", "[spread]") {
  // place > 0.7: a chance of 0.15, exactly. Strata leave next to nothing to luck.
  const double held = coverage(0.15, 200, 6, [](const auto& places) { return places[2] > 0.7; });
  CHECK(held >= 0.9);
  CHECK(held == 1);  // the count is never off by more than one
}

TEST_CASE("interval: it holds the chance of what is all interaction", "[spread]") {
  // With u and v even over 0 to 1, frac(u + v) is even too, whatever either of them is: no column by itself
  // moves the chance, and strata help nothing.
  const auto below = [](double edge) {
    return [edge](const std::vector<double>& places) {
      const double sum = 0.5 * (places[0] + 1) + 0.5 * (places[3] + 1);
      return sum - std::floor(sum) < edge;
    };
  };
  for (const double chance : {0.02, 0.1, 0.5}) {
    const double held = coverage(chance, 200, 6, below(chance));
    CAPTURE(chance, held);
    CHECK(held >= 0.9);
    // Not because intervals are wide: luck is in it.
    CHECK(coverage(chance, 200, 6, below(0.5 * chance + 0.35)) < 0.5);
  }
}
