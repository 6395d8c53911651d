// SPDX-License-Identifier: GPL-3.0-or-later
#include "spread/latin_hypercube.h"

#include "base/failure.h"

namespace latchwright::spread {

LatinHypercube::LatinHypercube(std::int64_t samples, std::size_t columns, std::uint64_t key)
    : samples_(samples) {
  base::require(samples >= 1, "a hypercube with samples");
  columns_.reserve(columns);
  for (std::size_t c = 0; c < columns; ++c) {
    columns_.push_back({base::Permutation(static_cast<std::uint64_t>(samples), base::mixed(key, 2 * c)),
                        base::mixed(key, 2 * c + 1)});
  }
}

// docs/model.md (14.1)
std::vector<double> LatinHypercube::places(std::int64_t sample) const {
  base::require(sample >= 0 && sample < samples_, "a sample of the hypercube");
  const auto index = static_cast<std::uint64_t>(sample);
  std::vector<double> places;
  places.reserve(columns_.size());
  for (const Column& column : columns_) {
    const double within = base::unit_of(base::mixed(column.key, index));
    const double share = (static_cast<double>(column.strata(index)) + within) / static_cast<double>(samples_);
    places.push_back(2 * share - 1);
  }
  return places;
}

}  // namespace latchwright::spread
