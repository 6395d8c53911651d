// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>

// Numbers that look random and are the same in every run, on every machine, in any order of asking.
namespace latchwright::base {

/// 64 bits from two words: every bit of the result hangs on every bit of both.
std::uint64_t mixed(std::uint64_t key, std::uint64_t index);

/// 0 <= x < 1, from the upper 53 bits.
double unit_of(std::uint64_t bits);

/// A shuffled order of 0 … size - 1: any place of it without making the rest.
class Permutation {
 public:
  /// size: 1 … 2^62.
  Permutation(std::uint64_t size, std::uint64_t key);
  /// index < size.
  std::uint64_t operator()(std::uint64_t index) const;

 private:
  std::uint64_t size_, key_;
  int half_bits_;
};

}  // namespace latchwright::base
