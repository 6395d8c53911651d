// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/seeded.h"

#include <algorithm>
#include <bit>

#include "base/failure.h"

namespace latchwright::base {

namespace {

/// A bijection of 64 bits in which every bit of the result hangs on every bit of x: xor-shifts and odd
/// multipliers, those of the finaliser of "splitmix64" (from memory; the tests look at the result, not at
/// them).
std::uint64_t stirred(std::uint64_t x) {
  x ^= x >> 30;
  x *= 0xBF58476D1CE4E5B9u;
  x ^= x >> 27;
  x *= 0x94D049BB133111EBu;
  return x ^ (x >> 31);
}

// The fraction of the golden ratio: neighbouring multiples of it lie far apart.
constexpr std::uint64_t golden = 0x9E3779B97F4A7C15u;

// Four rounds are enough for wide halves; those of small sizes have few bits to stir with.
constexpr std::uint64_t rounds = 6;

}  // namespace

std::uint64_t mixed(std::uint64_t key, std::uint64_t index) {
  return stirred(stirred(key + golden) ^ stirred(index * golden + 1));
}

double unit_of(std::uint64_t bits) { return static_cast<double>(bits >> 11) * 0x1p-53; }

Permutation::Permutation(std::uint64_t size, std::uint64_t key) : size_(size), key_(key), half_bits_(1) {
  require(size >= 1 && size <= (std::uint64_t{1} << 62), "a permutation of a lawful size");
  half_bits_ = std::max(1, (static_cast<int>(std::bit_width(size - 1)) + 1) / 2);
}

std::uint64_t Permutation::operator()(std::uint64_t index) const {
  require(index < size_, "a place of the permutation");
  const std::uint64_t mask = (std::uint64_t{1} << half_bits_) - 1;
  // A Feistel network permutes 0 … 4^half_bits - 1, which is up to four times too many: what falls outside is
  // put through again until it falls inside, and so no two can meet.
  do {
    std::uint64_t left = index >> half_bits_, right = index & mask;
    for (std::uint64_t round = 0; round < rounds; ++round) {
      const std::uint64_t next = left ^ (mixed(key_ + round * golden, right) & mask);
      left = right;
      right = next;
    }
    index = left << half_bits_ | right;
  } while (index >= size_);
  return index;
}

}  // namespace latchwright::base
