// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/weighted.h"

#include <algorithm>

namespace latchwright::bench {

double quantile(Weighted values, double p) {
  std::erase_if(values, [](const auto& value) { return !(value.second > 0); });
  if (values.empty()) return 0;
  std::sort(values.begin(), values.end());
  double whole = 0;
  for (const auto& value : values) whole += value.second;
  double sum = 0;
  for (const auto& value : values) {
    sum += value.second;
    if (sum >= p * whole) return value.first;
  }
  return values.back().first;
}

}  // namespace latchwright::bench
