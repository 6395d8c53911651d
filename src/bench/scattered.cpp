// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/scattered.h"

#include "bench/sheet.h"

namespace latchwright::bench {

std::optional<double> Scattered::limit_passed_s(const SoundReading& one) const {
  return &one == &usual ? one.class_passed_s : one.fault_passed_s;
}

std::optional<double> Scattered::off_by() const {
  double earliest_s = base::infinity;
  for_all([&](const SoundReading& one) {
    if (one.class_passed_s) earliest_s = std::min(earliest_s, longest_warm_hold_s / off_by_share);
    earliest_s = std::min(earliest_s, limit_passed_s(one).value_or(base::infinity));
  });
  if (std::isinf(earliest_s)) return std::nullopt;
  return off_by_share * earliest_s;
}

bool Scattered::may_hold(const SoundReading& one, double s) const {
  const auto passed_s = limit_passed_s(one);
  if (passed_s && s >= *passed_s) return false;
  return s < off_by_s || tripped_in_time(one);
}

HeldLimits::HeldLimits(const Scattered& all) {
  all.for_all([this](const SoundReading& one) {
    least_A = std::min(least_A, *std::min_element(one.held_A.begin(), one.held_A.end()));
  });
  const auto at_once = [](const SoundReading& r) { return std::optional(r.at_once_A); };
  const double usual = all.usual.at_once_A;
  if (usual > 0) up = band_of(all, usual, at_once, never_open).high / usual;
}

}  // namespace latchwright::bench
