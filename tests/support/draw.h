// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cmath>
#include <cstddef>
#include <cstdint>

namespace latchwright::tests {

/// Numbers that are the same with every compiler and library: SplitMix64 (Steele, Lea and Flood 2014, "Fast
/// splittable pseudorandom number generators").
class Draw {
 public:
  explicit Draw(std::uint64_t seed) : state_(seed) {}

  std::uint64_t bits() {
    state_ += 0x9e3779b97f4a7c15u;
    std::uint64_t z = state_;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
  }

  double between(double low, double high) {
    return low + (high - low) * static_cast<double>(bits() >> 11) * 0x1p-53;
  }

  /// The logarithm drawn evenly.
  double around(double low, double high) { return low * std::exp(between(0, 1) * std::log(high / low)); }

  std::size_t below(std::size_t count) { return static_cast<std::size_t>(bits() % count); }

  bool chance(double of_one) { return between(0, 1) < of_one; }

 private:
  std::uint64_t state_;
};

}  // namespace latchwright::tests
