// SPDX-License-Identifier: GPL-3.0-or-later
#include "spread/sobol_sums.h"

#include <cmath>

#include "base/failure.h"

namespace latchwright::spread {

namespace {

using Row = std::vector<std::int64_t>;

struct Estimate {
  double first = 0, total = 0;
};

/// docs/model.md (14.3), (14.4), (14.5). Empty where nothing varies.
std::vector<Estimate> estimates(const Row& sums) {
  const auto n = static_cast<double>(sums[0]);
  // Two samples of the same figure: A's and B's.
  const double mean = static_cast<double>(sums[1] + sums[2]) / (2 * n);
  const double variance = static_cast<double>(sums[3] + sums[4]) / (2 * n) - mean * mean;
  std::vector<Estimate> out;
  // Whole numbers that differ do so by more than any rounding here.
  if (!(variance > 1e-9 * (1 + mean * mean))) return out;
  for (std::size_t k = sobol_common; k + 1 < sums.size(); k += 2) {
    out.push_back({1 - static_cast<double>(sums[k]) / (2 * n * variance),
                   static_cast<double>(sums[k + 1]) / (2 * n * variance)});
  }
  return out;
}

void add(Row& sum, const Row& other, std::int64_t times) {
  for (std::size_t k = 0; k < sum.size(); ++k) sum[k] += times * other[k];
}

}  // namespace

SobolSums no_sobol_sums(std::size_t sources) {
  return SobolSums(sobol_blocks, Row(sobol_common + 2 * sources));
}

void add_pick_freeze(SobolSums& sums, std::int64_t sample, std::int64_t a, std::int64_t b,
                     const std::vector<std::int64_t>& ab) {
  Row& row = sums.at(static_cast<std::size_t>(sample) % sobol_blocks);
  base::require(row.size() == sobol_common + 2 * ab.size(), "a figure for every source");
  row[0] += 1;
  row[1] += a;
  row[2] += b;
  row[3] += a * a;
  row[4] += b * b;
  for (std::size_t k = 0; k < ab.size(); ++k) {
    row[sobol_common + 2 * k] += (b - ab[k]) * (b - ab[k]);
    row[sobol_common + 2 * k + 1] += (a - ab[k]) * (a - ab[k]);
  }
}

std::vector<SobolIndex> sobol_indices(const SobolSums& sums) {
  std::vector<SobolIndex> out;
  if (sums.empty()) return out;
  Row all(sums.front().size());
  std::size_t filled = 0;
  for (const Row& row : sums) {
    add(all, row, 1);
    if (row[0] > 0) ++filled;
  }
  if (filled < 2) return out;
  for (const Estimate& whole : estimates(all)) out.push_back({whole.first, 0, whole.total, 0});
  if (out.empty()) return out;
  // Jackknife: the indices without each block in turn.
  std::vector<std::vector<Estimate>> without;
  for (const Row& row : sums) {
    if (row[0] == 0) continue;
    Row rest = all;
    add(rest, row, -1);
    auto each = estimates(rest);
    // All that varies lies in one block: nothing is known of the error.
    if (each.empty()) each.assign(out.size(), Estimate{});
    without.push_back(std::move(each));
  }
  const auto m = static_cast<double>(without.size());
  for (std::size_t k = 0; k < out.size(); ++k) {
    Estimate mean;
    for (const auto& each : without) {
      mean.first += each[k].first / m;
      mean.total += each[k].total / m;
    }
    double first = 0, total = 0;
    for (const auto& each : without) {
      first += (each[k].first - mean.first) * (each[k].first - mean.first);
      total += (each[k].total - mean.total) * (each[k].total - mean.total);
    }
    out[k].first_error = std::sqrt((m - 1) / m * first);
    out[k].total_error = std::sqrt((m - 1) / m * total);
  }
  return out;
}

}  // namespace latchwright::spread
