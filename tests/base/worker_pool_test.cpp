// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/worker_pool.h"

#include <atomic>
#include <catch2/catch.hpp>
#include <stdexcept>
#include <string>
#include <vector>

using namespace latchwright;

TEST_CASE("worker pool: every index is worked once, whatever the number of workers", "[base]") {
  for (const unsigned workers : {0u, 1u, 2u, 7u}) {
    for (const std::size_t count : {0u, 1u, 2u, 1000u}) {
      CAPTURE(workers, count);
      std::vector<int> times(count, 0);
      base::for_each_index(count, workers, [&](std::size_t k) { ++times[k]; });
      CHECK(times == std::vector<int>(count, 1));
    }
  }
}

TEST_CASE("worker pool: of several failures the one of the lowest index is told and all are worked",
          "[base]") {
  for (const unsigned workers : {1u, 4u}) {
    CAPTURE(workers);
    std::atomic<int> done{0};
    std::string told;
    try {
      base::for_each_index(200, workers, [&](std::size_t k) {
        ++done;
        if (k % 50 == 17) throw std::runtime_error(std::to_string(k));
      });
    } catch (const std::runtime_error& error) {
      told = error.what();
    }
    CHECK(told == "17");
    CHECK(done == 200);
  }
}

TEST_CASE("worker pool: calls inside calls", "[base]") {
  std::vector<std::vector<std::size_t>> sums(8, std::vector<std::size_t>(8, 0));
  base::for_each_index(8, 3, [&](std::size_t row) {
    base::for_each_index(8, 2, [&](std::size_t column) { sums[row][column] = row * column; });
  });
  for (std::size_t row = 0; row < 8; ++row) {
    for (std::size_t column = 0; column < 8; ++column) CHECK(sums[row][column] == row * column);
  }
}
