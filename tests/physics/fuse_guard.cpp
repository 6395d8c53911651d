// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "physics/fuse_bounds.h"
#include "physics/fuses_and_wires.h"

using namespace latchwright;
using physics::FuseBounds;
using physics::guard;
using physics::WireHeating;
using tests::fuse_of;
using tests::infinity;

namespace {

/// Mini and medium blade fuses, ISO 8820-3: published/fuse_gates.cpp names the marks of each figure.
model::FuseFamily blade() {
  model::FuseFamily gates;
  gates.multiples = {1.1, 1.35, 1.6, 2, 3.5, 6};
  gates.min_s = {360000, 0.75, 0.25, 0.15, 0.04, 0.02};
  gates.max_s = {std::nullopt, 1800, 50, 5, 0.5, 0.15};
  return gates;
}

model::Wire fused_wire(double area_mm2, double mohm_per_m, double outside_mm) {
  model::Wire wire = tests::wire_of(area_mm2, mohm_per_m, outside_mm);
  wire.class_C = 100;
  return wire;
}

double ratio(const FuseBounds& fuse, const WireHeating& wire, double hot_C, double I) {
  const double wire_s = wire.fault_time(I, hot_C, 160);
  return wire_s == infinity ? infinity : wire_s / fuse.slowest_time(I);
}

}  // namespace

TEST_CASE("guard: against a plain scan of every current", "[physics][fuse][guard]") {
  std::mt19937 random(20240611);
  const auto between = [&](double low, double high) {
    return low * std::pow(high / low, std::uniform_real_distribution<double>(0, 1)(random));
  };
  const double ratings[] = {3, 5, 7.5, 10, 15, 20, 25, 30};
  int partly = 0;
  int whole = 0;
  for (int n = 0; n < 300; ++n) {
    const double area = between(0.3, 4);
    const FuseBounds fuse(fuse_of(ratings[n % 8]), blade());
    const WireHeating wire(fused_wire(area, 18.5 / area, std::sqrt(4 * area / 3.1416) + 1), between(1, 2));
    const double hot = between(20, 90);
    const double bolted = between(10, 300);
    const auto result = guard(fuse, wire, hot, 160, bolted);
    CAPTURE(n, fuse.rating_A(), area, hot, bolted);

    double smallest = infinity;
    double from = 0;
    double to = 0;
    constexpr int points = 4000;
    const double start = 1.10 * fuse.rating_A();
    for (int k = 0; k < points && start < bolted; ++k) {
      const double I = start * std::pow(bolted / start, k / static_cast<double>(points));
      const double now = ratio(fuse, wire, hot, I);
      smallest = std::min(smallest, now);
      if (now < 1) {
        if (from == 0) from = I;
        to = I;
      }
    }
    CHECK(result.margin_partial <= smallest);
    if (smallest < infinity) {
      CHECK(result.margin_partial == Approx(smallest).epsilon(0.01));
    }
    const double step = start < bolted ? std::pow(bolted / start, 1.01 / points) : 1;
    if (from > 0) {
      CHECK(result.unguarded_from_A <= from);
      CHECK(result.unguarded_from_A * step >= from);
      CHECK(result.unguarded_to_A >= to);
      CHECK(result.unguarded_to_A <= to * step);
    }
    CHECK(result.margin_bolted == ratio(fuse, wire, hot, bolted));
    if (result.margin_partial < infinity && result.margin_partial > 0) {
      CHECK(ratio(fuse, wire, hot, result.partial_A) == Approx(result.margin_partial).epsilon(1e-9));
    }
    partly += result.margin_partial > 0 && result.margin_partial < 1;
    whole += result.margin_partial >= 1;
  }
  // The draw has to meet every kind of case.
  CHECK(partly > 5);
  CHECK(whole > 5);
}

TEST_CASE("guard: rules for the infinities", "[physics][fuse][guard]") {
  const FuseBounds fuse(fuse_of(10), blade());
  SECTION("thick wire: nothing can hurt it below the short") {
    const WireHeating thick(fused_wire(6, 3.14, 4.3), 1);
    const auto result = guard(fuse, thick, 60, 160, 40);
    CHECK(result.margin_partial == infinity);
    CHECK(result.margin_bolted == infinity);
    CHECK(result.bolted_never_heats);
    CHECK_FALSE(result.bolted_never_opens);
    CHECK(result.unguarded_from_A == 0);
    CHECK(result.unguarded_to_A == 0);
  }
  SECTION("thin wire: hurt where the fuse need never open") {
    const WireHeating thin(fused_wire(0.22, 84.8, 1.2), 1.5);
    const auto result = guard(fuse, thin, 85, 160, 40);
    REQUIRE(thin.steady_current(160, 85) < 11);
    CHECK(result.margin_partial == 0);
    CHECK(result.partial_A == Approx(11));
    CHECK(result.unguarded_from_A == Approx(11));
    CHECK(result.unguarded_to_A >= 13.5 * (1 - 1e-9));
    CHECK(result.margin_bolted > 0);
  }
  SECTION("a short that the fuse need never clear") {
    const WireHeating thin(fused_wire(0.22, 84.8, 1.2), 1.5);
    const auto result = guard(fuse, thin, 85, 160, 13);
    CHECK(result.bolted_never_opens);
    CHECK(result.margin_bolted == 0);
    CHECK(result.unguarded_to_A == 13);
  }
  SECTION("a short below 1.10 of the rating: no partial fault, the bolted one alone") {
    const WireHeating thin(fused_wire(0.22, 84.8, 1.2), 2.5);
    const auto result = guard(fuse, thin, 85, 160, 10.5);
    REQUIRE(thin.fault_time(10.5, 85, 160) < infinity);
    CHECK(result.margin_partial == infinity);
    CHECK(result.margin_bolted == 0);
    CHECK(result.unguarded_from_A == 10.5);
    CHECK(result.unguarded_to_A == 10.5);
  }
}

TEST_CASE("guard: a smaller fuse never guards worse", "[physics][fuse][guard]") {
  const WireHeating wire(fused_wire(0.75, 24.7, 1.9), 1);
  double last = infinity;
  for (const double rating : {3.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0}) {
    const auto result = guard(FuseBounds(fuse_of(rating), blade()), wire, 60, 160, 120);
    CAPTURE(rating);
    CHECK(result.margin_bolted <= last);
    last = result.margin_bolted;
  }
}
