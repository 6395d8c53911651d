// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include "sim/cubic.h"
#include "sim/drive_step.h"

// The highest current inside a step, which may be long against the transients in it.
namespace latchwright::sim {

double DriveStep::largest_current(std::size_t k, double above) const {
  const double begin = (*x_)[k * slots + slot_current];
  const LinearDoor& l = linear_[k];
  const double end = begin + increments_[k].current;
  // A rotor that turns forward only takes from what the door would draw at standstill.
  const double stall =
      (circuit_.source_V - circuit_.doors[k].motor.brush_drop) / (l.resistance + circuit_.shared_ohm);
  if (!l.conducting || 1.001 * std::max(stall, begin) <= above) return std::max(begin, end);
  struct Spot {
    double t, current, rate;
  };
  const double tau = l.inductance / (l.resistance + (circuit_.doors.size() == 1 ? circuit_.shared_ohm : 0.0));
  std::array<Increment, most_doors> inside;
  const auto look_inside = [&](double t) {
    respond(t, pushes_.data(), inside.data());
    double all = 0;
    for (std::size_t j = 0; j < circuit_.doors.size(); ++j) all += inside[j].current;
    return Spot{t, inside[k].current, current_rate(k, t, inside[k], all)};
  };
  const Spot first{0, 0, first_.doors[k].rate[slot_current]};
  const Spot last{h_, increments_[k].current, linear_rate_[k].current};
  std::array<Spot, 9> spots{first};
  std::size_t count = 1;
  if (sample_count_ > 0) {
    for (std::size_t n = 0; n < sample_count_; ++n) {
      spots[count++] = {samples_[n].t, samples_[n].current[k], samples_[n].rate[k]};
    }
  } else if (circuit_.doors.size() == 1) {
    // No one has looked inside: where a transient of the current ends, and at the quarters.
    if (3 * tau < 0.2 * h_) spots[count++] = look_inside(3 * tau);
    for (const double share : {0.25, 0.5, 0.75}) spots[count++] = look_inside(share * h_);
  }
  spots[count++] = last;
  double largest = 0;
  for (std::size_t n = 1; n < count; ++n) largest = std::max(largest, spots[n].current);
  for (std::size_t n = 1; n < count; ++n) {
    Spot low = spots[n - 1], high = spots[n];
    constexpr int most_tries = 20;
    for (int tries = 0; tries < most_tries; ++tries) {
      double next;
      if (low.rate > 0 && high.rate < 0) {
        // A top lies between: not above the first tangent, and not above the level that the current makes
        // for, which falls as speed grows, unless in an arc as slow as the cubic through both.
        const double level = std::max(low.current + low.rate * tau, high.current + high.rate * tau);
        const double arc = Cubic{low.current, low.rate, high.current, high.rate, high.t - low.t}.largest();
        const double bound =
            std::min(low.current + low.rate * (high.t - low.t), std::max(1.0005 * level, arc));
        if (begin + bound <= std::max(above, (begin + largest) * 1.0002)) break;
        const double share = low.rate / (low.rate - high.rate);
        next = low.t + (high.t - low.t) * (tries % 2 == 0 ? share : 0.5);
        if (!(next > low.t && next < high.t)) break;
      } else {
        // Perhaps it turns twice between: a cubic through both shows that.
        const double h = high.t - low.t;
        const double middle = Cubic{low.current, low.rate, high.current, high.rate, h}.rate(0.5);
        if (!(low.rate > 0 ? middle < 0 : high.rate < 0 && middle > 0)) break;
        next = 0.5 * (low.t + high.t);
      }
      const Spot now = look_inside(next);
      largest = std::max(largest, now.current);
      (now.rate > 0 ? low : high) = now;
    }
  }
  return begin + largest;
}

}  // namespace latchwright::sim
