// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <vector>

#include "base/seeded.h"

namespace latchwright::spread {

/// Samples of which each column has exactly one in each of as many equal strata (docs/model.md section 14).
/// Any sample is made without the others; the same key gives the same samples.
class LatinHypercube {
 public:
  /// samples: 1 or more.
  LatinHypercube(std::int64_t samples, std::size_t columns, std::uint64_t key);
  std::int64_t samples() const { return samples_; }
  std::size_t columns() const { return columns_.size(); }
  /// One place a column, -1 or above and below 1. sample: 0 … samples - 1.
  std::vector<double> places(std::int64_t sample) const;

 private:
  struct Column {
    base::Permutation strata;
    std::uint64_t key;  ///< of the places within them
  };
  std::int64_t samples_;
  std::vector<Column> columns_;
};

}  // namespace latchwright::spread
