// SPDX-License-Identifier: GPL-3.0-or-later
#include "spread/interval.h"

#include <boost/math/distributions/binomial.hpp>

#include "base/failure.h"

namespace latchwright::spread {

// docs/model.md (14.2)
Chance chance_of(std::int64_t count, std::int64_t of, double level) {
  base::require(count >= 0 && count <= of, "no more counted than looked at");
  base::require(level > 0 && level < 1, "a level between 0 and 1");
  Chance chance;
  chance.level = level;
  chance.count = count;
  chance.of = of;
  if (of == 0) return chance;
  using boost::math::binomial_distribution;
  const auto successes = static_cast<double>(count), trials = static_cast<double>(of);
  const double each_side = (1 - level) / 2;
  chance.estimate = successes / trials;
  chance.low = count == 0 ? 0 : binomial_distribution<>::find_lower_bound_on_p(trials, successes, each_side);
  chance.high =
      count == of ? 1 : binomial_distribution<>::find_upper_bound_on_p(trials, successes, each_side);
  return chance;
}

}  // namespace latchwright::spread
