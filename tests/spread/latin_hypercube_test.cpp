// SPDX-License-Identifier: GPL-3.0-or-later
#include "spread/latin_hypercube.h"

#include <catch2/catch.hpp>
#include <cmath>

using namespace latchwright;
using spread::LatinHypercube;

TEST_CASE("latin hypercube: every column has one sample in each stratum", "[spread]") {
  for (const std::int64_t samples : {1, 2, 3, 7, 16, 100, 1000, 1023, 1025}) {
    for (const std::uint64_t key : {0, 1, 99}) {
      constexpr std::size_t columns = 12;
      const LatinHypercube cube(samples, columns, key);
      std::vector<std::vector<int>> hits(columns, std::vector<int>(static_cast<std::size_t>(samples)));
      for (std::int64_t i = 0; i < samples; ++i) {
        const auto places = cube.places(i);
        REQUIRE(places.size() == columns);
        for (std::size_t c = 0; c < columns; ++c) {
          REQUIRE(places[c] >= -1);
          REQUIRE(places[c] < 1);
          const double share = 0.5 * (places[c] + 1) * static_cast<double>(samples);
          ++hits[c][static_cast<std::size_t>(share + 1e-9)];
        }
      }
      for (const auto& column : hits) {
        for (const int count : column) REQUIRE(count == 1);
      }
    }
  }
}

TEST_CASE("latin hypercube: columns do not go together", "[spread]") {
  // The correlation of two independent columns has a standard deviation of 1/sqrt(n - 1).
  constexpr std::int64_t samples = 1000;
  constexpr std::size_t columns = 20;
  const LatinHypercube cube(samples, columns, 5);
  std::vector<double> sum(columns * columns);
  for (std::int64_t i = 0; i < samples; ++i) {
    const auto places = cube.places(i);
    for (std::size_t a = 0; a < columns; ++a) {
      for (std::size_t b = 0; b < a; ++b) sum[a * columns + b] += places[a] * places[b];
    }
  }
  constexpr double variance = 1.0 / 3;
  for (std::size_t a = 0; a < columns; ++a) {
    for (std::size_t b = 0; b < a; ++b) {
      CAPTURE(a, b);
      CHECK(std::fabs(sum[a * columns + b] / samples / variance) < 4.5 / std::sqrt(samples - 1.0));
    }
  }
}

TEST_CASE("latin hypercube: a sample does not hang on which were made before", "[spread]") {
  const LatinHypercube cube(500, 3, 4), again(500, 3, 4), other(500, 3, 5);
  const auto late = cube.places(321);
  CHECK(again.places(0) == cube.places(0));
  CHECK(again.places(321) == late);
  CHECK(other.places(321) != late);
}
