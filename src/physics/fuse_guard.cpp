// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include "base/infinity.h"
#include "physics/fuse_bounds.h"

namespace latchwright::physics {
namespace {

using base::infinity;

/// t_wire/t_max with the rules for infinities: docs/model.md (7.6), (7.7).
class Ratio {
 public:
  Ratio(const FuseBounds& fuse, const FaultCurve& wire) : fuse_(fuse), wire_(wire) {}
  double operator()(double current_A) const {
    const double wire_s = wire_(current_A);
    if (wire_s == infinity) return infinity;
    return wire_s / fuse_.slowest_time(current_A);
  }

 private:
  const FuseBounds& fuse_;
  const FaultCurve& wire_;
};

/// Collects the smallest ratio and the range below 1.
class Lowest {
 public:
  explicit Lowest(const Ratio& ratio) : ratio_(ratio) {}

  void take(double current_A, double ratio) {
    if (ratio < smallest_) {
      smallest_ = ratio;
      smallest_A_ = current_A;
    }
    if (ratio < 1) widen(current_A);
  }

  /// Between neighbouring gates log t_max is straight in log I and log t_wire is convex: the ratio has one
  /// minimum, and lies below 1 over one range.
  void search(double low, double high) {
    const double worst = minimum(low, high);
    take(worst, ratio_(worst));
    if (ratio_(worst) >= 1) return;
    widen(edge(worst, low));
    widen(edge(worst, high));
  }

  double smallest() const { return smallest_; }
  double smallest_A() const { return smallest_A_; }
  double from_A() const { return from_A_; }
  double to_A() const { return to_A_; }

 private:
  void widen(double current_A) {
    from_A_ = from_A_ == 0 ? current_A : std::min(from_A_, current_A);
    to_A_ = std::max(to_A_, current_A);
  }

  /// Golden section in log I, then the better of it and the two ends.
  double minimum(double low, double high) const {
    constexpr double golden = 0.6180339887498949;
    double a = std::log(low);
    double b = std::log(high);
    double c = b - golden * (b - a);
    double d = a + golden * (b - a);
    double at_c = ratio_(std::exp(c));
    double at_d = ratio_(std::exp(d));
    while (b - a > 1e-7) {
      // Equal (both infinite, on the side where the wire never gets hot): the minimum is above.
      if (at_c < at_d) {
        b = d;
        d = c;
        at_d = at_c;
        c = b - golden * (b - a);
        at_c = ratio_(std::exp(c));
      } else {
        a = c;
        c = d;
        at_c = at_d;
        d = a + golden * (b - a);
        at_d = ratio_(std::exp(d));
      }
    }
    double best = std::exp(0.5 * (a + b));
    for (const double end : {low, high}) {
      if (ratio_(end) < ratio_(best)) best = end;
    }
    return best;
  }

  /// The current between one below 1 and the end of its interval where the ratio passes 1.
  double edge(double below, double end) const {
    if (ratio_(end) < 1) return end;
    while (std::abs(end - below) > 1e-9 * below) {
      const double middle = 0.5 * (below + end);
      (ratio_(middle) < 1 ? below : end) = middle;
    }
    return below;
  }

  const Ratio& ratio_;
  double smallest_ = infinity;
  double smallest_A_ = 0;
  double from_A_ = 0;
  double to_A_ = 0;
};

}  // namespace

Guard guard(const FuseBounds& fuse, const WireHeating& wire, double hot_C, double short_time_C,
            double bolted_A) {
  const FaultCurve curve = wire.fault_curve(hot_C, short_time_C);
  const Ratio ratio(fuse, curve);
  Lowest partial(ratio);
  const double start_A = carry_multiple * fuse.rating_A();
  const auto& gates = fuse.slowest_gates();
  const double first_A = gates.empty() ? infinity : gates.front().current_A;

  // Below the first gate the fuse may never open: every current that hurts the wire is unguarded.
  const double hurt_A = std::max(start_A, curve.steady_A());
  const double open_end_A = std::min(first_A, bolted_A);
  if (hurt_A < open_end_A) {
    partial.take(hurt_A, 0);
    partial.take(open_end_A, 0);
  }
  for (std::size_t k = 0; k < gates.size(); ++k) {
    const double low = std::max(gates[k].current_A, start_A);
    const double high = std::min(k + 1 < gates.size() ? gates[k + 1].current_A : infinity, bolted_A);
    if (low < high) partial.search(low, high);
  }

  Guard result;
  result.margin_partial = partial.smallest();
  result.partial_A = partial.smallest_A();
  result.margin_bolted = ratio(bolted_A);
  result.bolted_never_heats = curve(bolted_A) == infinity;
  result.bolted_never_opens = fuse.slowest_time(bolted_A) == infinity;
  partial.take(bolted_A, result.margin_bolted);
  result.unguarded_from_A = partial.from_A();
  result.unguarded_to_A = partial.to_A();
  return result;
}

}  // namespace latchwright::physics
