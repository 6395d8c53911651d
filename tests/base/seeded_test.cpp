// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/seeded.h"

#include <bit>
#include <catch2/catch.hpp>
#include <cmath>
#include <set>
#include <vector>

#include "base/failure.h"

using namespace latchwright;

TEST_CASE("seeded: a permutation takes every place once for any size and key", "[seeded]") {
  std::vector<std::uint64_t> sizes;
  for (std::uint64_t size = 1; size <= 70; ++size) sizes.push_back(size);
  for (const std::uint64_t size : {127, 128, 129, 1000, 1024, 1025, 4095, 4097}) sizes.push_back(size);
  for (const std::uint64_t size : sizes) {
    for (std::uint64_t key = 0; key < 8; ++key) {
      const base::Permutation order(size, key);
      std::vector<bool> taken(size);
      std::uint64_t count = 0;
      for (std::uint64_t k = 0; k < size; ++k) {
        const std::uint64_t place = order(k);
        REQUIRE(place < size);
        if (!taken[place]) ++count;
        taken[place] = true;
      }
      CAPTURE(size, key);
      REQUIRE(count == size);
    }
  }
}

TEST_CASE("seeded: large permutations stay within their size and send no two to one place", "[seeded]") {
  for (const std::uint64_t size :
       {std::uint64_t{1'000'003}, std::uint64_t{1} << 40, std::uint64_t{1} << 62}) {
    const base::Permutation order(size, 7);
    std::set<std::uint64_t> seen;
    for (std::uint64_t k = 0; k < 2000; ++k) {
      const std::uint64_t place = order(k);
      CHECK(place < size);
      seen.insert(place);
    }
    CHECK(seen.size() == 2000);
  }
  CHECK_THROWS_AS(base::Permutation(0, 1), base::InternalError);
  CHECK_THROWS_AS(base::Permutation(5, 1)(5), base::InternalError);
}

TEST_CASE("seeded: orders of another key are other orders and look shuffled", "[seeded]") {
  // Of a random order of n: places kept by chance are 1 on average, ascents (n - 1)/2 with variance (n +
  // 1)/12 (Eulerian numbers, from memory). Eight standard deviations.
  constexpr std::uint64_t size = 3000;
  const base::Permutation one(size, 1), other(size, 2);
  int same = 0, ascents = 0;
  for (std::uint64_t k = 0; k < size; ++k) {
    if (one(k) == other(k)) ++same;
    if (k > 0 && one(k) > one(k - 1)) ++ascents;
  }
  CHECK(same < 12);
  CHECK(ascents == Approx((size - 1) / 2.0).margin(8 * std::sqrt((size + 1) / 12.0)));
}

TEST_CASE("seeded: every bit of the mix hangs on every bit of both words", "[seeded]") {
  // Flipping one bit of an input flips each bit of the result in half of the cases: 512 cases have a standard
  // deviation of 11.3; six of them over 2 x 64 x 64 trials.
  constexpr int cases = 512;
  for (const bool of_key : {true, false}) {
    for (int bit = 0; bit < 64; ++bit) {
      std::vector<int> flips(64);
      for (std::uint64_t k = 0; k < cases; ++k) {
        const std::uint64_t key = k * k + 17, index = 3 * k, flip = std::uint64_t{1} << bit;
        const std::uint64_t difference = base::mixed(key, index) ^ (of_key ? base::mixed(key ^ flip, index)
                                                                           : base::mixed(key, index ^ flip));
        for (int out = 0; out < 64; ++out) flips[static_cast<std::size_t>(out)] += (difference >> out) & 1u;
      }
      for (const int count : flips) REQUIRE(count == Approx(cases / 2).margin(68));
    }
  }
}

TEST_CASE("seeded: words become numbers from 0 to below 1", "[seeded]") {
  CHECK(base::unit_of(0) == 0);
  CHECK(base::unit_of(~std::uint64_t{0}) < 1);
  CHECK(base::unit_of(std::uint64_t{1} << 63) == 0.5);
}
