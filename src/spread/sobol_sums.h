// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <vector>

// Sobol indices by pick-freeze (docs/model.md section 14), of any figure in whole numbers and any sources.
namespace latchwright::spread {

/// Samples are dealt to so many blocks, by their number: what the indices would be without each block in turn
/// tells their standard errors.
inline constexpr std::size_t sobol_blocks = 16;

/// One row a block: samples, sum of a, of b, of a², of b², then for each source the sums of (b - ab)² and (a
/// - ab)².
using SobolSums = std::vector<std::vector<std::int64_t>>;
inline constexpr std::size_t sobol_common = 5;  ///< entries of a row before those of the sources

SobolSums no_sobol_sums(std::size_t sources);

/// Adds the figure of sample number `sample`: with the places of A, with those of B, and with those of A but
/// for one source's, which are B's, source by source. Sums stay exact up to 2^53 while figures are below
/// 65536 and samples below 65536.
void add_pick_freeze(SobolSums& sums, std::int64_t sample, std::int64_t a, std::int64_t b,
                     const std::vector<std::int64_t>& ab);

struct SobolIndex {
  double first = 0, first_error = 0;  ///< share of the variance by the source alone; its standard error
  double total = 0, total_error = 0;  ///< the same with all that it does together with others
};

/// Jansen's estimators, one a source; empty where nothing varies or there are fewer than two blocks with
/// samples.
std::vector<SobolIndex> sobol_indices(const SobolSums& sums);

}  // namespace latchwright::spread
