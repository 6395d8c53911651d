// SPDX-License-Identifier: GPL-3.0-or-later
#include "physics/fuse_bounds.h"
#include "physics/fuses_and_wires.h"

#include <catch2/catch.hpp>
#include <cmath>

using namespace latchwright;
using physics::FuseBounds;
using physics::QuickestFuse;
using tests::fuse_of;
using tests::infinity;

namespace {

/// Invented gates with round numbers.
model::FuseFamily family() {
  model::FuseFamily gates;
  gates.multiples = {1.1, 1.5, 2, 4};
  gates.min_s = {1e5, 1.0, 0.5, std::nullopt};
  gates.max_s = {std::nullopt, 1000, 10, 0.1};
  return gates;
}

/// An explicit fine-step solution of the element under any current.
template <class Current>
double stepped(double tau, double derated, const Current& current, double seconds, int steps) {
  double y = 0;
  const double h = seconds / steps;
  for (int k = 0; k < steps; ++k) {
    const auto rate = [&](double t, double at) { return (std::pow(current(t) / derated, 2) - at) / tau; };
    const double t = h * k;
    const double a = rate(t, y);
    const double b = rate(t + h / 2, y + h / 2 * a);
    const double c = rate(t + h / 2, y + h / 2 * b);
    const double d = rate(t + h, y + h * c);
    y += h / 6 * (a + 2 * b + 2 * c + d);
  }
  return y;
}

}  // namespace

TEST_CASE("slowest fuse: equal at each gate, straight in logs between, I²t beyond", "[physics][fuse]") {
  const FuseBounds fuse(fuse_of(10), family());
  CHECK(fuse.slowest_time(14.999) == infinity);
  CHECK(fuse.slowest_time(15) == Approx(1000).epsilon(1e-12));
  CHECK(fuse.slowest_time(20) == Approx(10).epsilon(1e-12));
  CHECK(fuse.slowest_time(40) == Approx(0.1).epsilon(1e-12));
  CHECK(fuse.slowest_time(std::sqrt(15.0 * 20.0)) == Approx(100).epsilon(1e-12));
  CHECK(fuse.slowest_time(std::sqrt(20.0 * 40.0)) == Approx(1).epsilon(1e-12));
  CHECK(fuse.slowest_time(400) == Approx(0.001).epsilon(1e-12));
  model::FuseFamily none = family();
  none.max_s.assign(4, std::nullopt);
  CHECK(FuseBounds(fuse_of(10), none).slowest_time(1e4) == infinity);
}

TEST_CASE("derating: the default line and a family's own table", "[physics][fuse]") {
  const FuseBounds plain(fuse_of(10), family());
  CHECK(plain.derating(-40) == 1);
  CHECK(plain.derating(23) == 1);
  CHECK(plain.derating(73) == Approx(0.9).epsilon(1e-13));
  CHECK(plain.derating(1000) == 0.5);
  auto own = family();
  own.derating = {{-40, 25, 125}, {1.1, 1.0, 0.6}};
  const FuseBounds table(fuse_of(10), own);
  CHECK(table.derating(-60) == 1.1);
  CHECK(table.derating(75) == Approx(0.8).epsilon(1e-13));
  CHECK(table.derating(150) == 0.6);
}

TEST_CASE("quickest fuse: never later than a gate's shortest time, equal at one", "[physics][fuse]") {
  const FuseBounds fuse(fuse_of(10), family());
  const double at_15 = fuse.quickest_time(15, 23);
  const double at_20 = fuse.quickest_time(20, 23);
  CHECK(at_15 <= 1.0 * (1 + 1e-12));
  CHECK(at_20 <= 0.5 * (1 + 1e-12));
  CHECK(std::min(1.0 - at_15, 0.5 - at_20) == Approx(0).margin(1e-12));
  CHECK(fuse.quickest_time(11, 23) == infinity);
  CHECK(fuse.quickest_time(10.9, 73) < infinity);  // 10.9 > 1.10 · 9 A
  // The element itself, run for that time, is just at its opening level.
  QuickestFuse element = fuse.quickest(73);
  element.advance(17, fuse.quickest_time(17, 73));
  CHECK(element.value() == Approx(1.21).epsilon(1e-12));
  CHECK(element.margin() == Approx(1).epsilon(1e-12));
  // No shortest time above 1.10: it may open at once.
  model::FuseFamily free = family();
  free.min_s = {1e5, std::nullopt, std::nullopt, std::nullopt};
  const FuseBounds instant(fuse_of(10), free);
  CHECK(instant.quickest_tau_s() == 0);
  CHECK(instant.quickest_time(12, 23) == 0);
  QuickestFuse at_once = instant.quickest(23);
  at_once.advance(20, 0, 1e-3);
  CHECK(at_once.peak() == Approx(4).epsilon(1e-12));
  CHECK(at_once.value() == 0);
}

TEST_CASE("fuse element: exact under constant and straight currents", "[physics][fuse]") {
  QuickestFuse element(0.4, 10);
  CHECK(element.margin() == infinity);
  element.advance(25, 0.3);
  CHECK(element.value() == Approx(6.25 * (1 - std::exp(-0.75))).epsilon(1e-12));
  const double peak = element.value();
  element.advance(0, 0.8);
  CHECK(element.value() == Approx(peak * std::exp(-2.0)).epsilon(1e-12));
  CHECK(element.peak() == peak);
  // One step or many.
  QuickestFuse many(0.4, 10);
  for (int k = 0; k < 3000; ++k) many.advance(25, 1e-4);
  CHECK(many.value() == Approx(peak).epsilon(1e-11));
  // A straight current, against Runge–Kutta, over short, middling and long steps.
  for (const double seconds : {1e-5, 3.9e-3, 4.1e-3, 0.2, 6.0}) {
    CAPTURE(seconds);
    QuickestFuse straight(0.4, 10);
    straight.advance(30, 5, seconds);
    const auto current = [&](double t) { return 30 - 25 * t / seconds; };
    CHECK(straight.value() == Approx(stepped(0.4, 10, current, seconds, 4000)).epsilon(1e-9));
  }
  // Equal ends: the constant one.
  QuickestFuse flat(0.4, 10);
  flat.advance(25, 25, 0.3);
  CHECK(flat.value() == Approx(peak).epsilon(1e-12));
}
