// SPDX-License-Identifier: GPL-3.0-or-later
// What the engine works out in short, against the same worked out at length by something else.
#include <boost/math/quadrature/gauss_kronrod.hpp>
#include <catch2/catch.hpp>
#include <cmath>

#include "reference/compare/random_study.h"
#include "sim/door_rates.h"
#include "sim/rest.h"

using namespace latchwright;
using physics::heat_nodes;

namespace {

/// Circuits of random studies, one for each index.
sim::Circuit circuit_of(std::size_t index) {
  const auto study = tests::random_study(8, index);
  return sim::make_circuit(study.study, study.at, study.doors);
}

constexpr std::size_t studies = 60;

}  // namespace

TEST_CASE("short cuts: rests that last alike give what a rest gives", "[sim]") {
  for (std::size_t index = 0; index < studies; ++index) {
    const auto circuit = circuit_of(index);
    tests::Draw draw(index);
    const double seconds = draw.around(1, 100);
    const sim::Rest rest(circuit);
    const sim::EqualRests equal(rest, circuit.doors.size(), circuit.at.ambient_C, seconds);
    std::vector<double> T = sim::State(circuit.doors.size() * heat_nodes, circuit.at.ambient_C), one, other;
    for (double& value : T) value += draw.around(10, 10);
    rest.after(T, seconds, one);
    equal.after(T, other);
    for (std::size_t n = 0; n < T.size(); ++n) CHECK(other[n] == Approx(one[n]).epsilon(0).margin(1e-9));
  }
}

TEST_CASE("short cuts: friction and resistance carried on over a small change", "[sim]") {
  int carried = 0;
  for (std::size_t index = 0; index < studies; ++index) {
    const auto circuit = circuit_of(index);
    for (const auto& door : circuit.doors) {
      for (const double T : {-30.0, 10.0, 24.9999, 40.0, 95.0}) {
        for (const double change : {-2e-2, -1e-4, 1e-5, 9e-4, 0.5}) {
          CAPTURE(index, T, change);
          const double known = door.motor.friction(T);
          CHECK(door.motor.friction(T + change, known, T) ==
                Approx(door.motor.friction(T + change)).epsilon(1e-9));
          const std::vector<double> first(heat_nodes, T), last(heat_nodes, T + change);
          const sim::DoorOhms want(door, last.data());
          const sim::DoorOhms have = sim::DoorOhms(door, first.data()).at(door, last.data());
          CHECK(have.ptc == Approx(want.ptc).epsilon(5e-6));  // most where a curve begins
          CHECK(have.path == Approx(want.path).epsilon(5e-6));
          carried += have.ptc != want.ptc;
        }
      }
    }
  }
  CHECK(carried > 100);  // otherwise nothing was short
}

TEST_CASE("short cuts: the work of a load is the integral of its force", "[sim]") {
  // Boost.Math's adaptive Gauss–Kronrod quadrature of the force itself.
  using Quadrature = boost::math::quadrature::gauss_kronrod<double, 15>;
  for (std::size_t index = 0; index < studies / 5; ++index) {
    const auto circuit = circuit_of(index);
    for (const auto& door : circuit.doors) {
      tests::Draw draw(index);
      for (const bool unlocking : {false, true}) {
        const auto& load = door.load(unlocking);
        const double a = (draw.around(0.1, 1) - 0.2) * door.stroke,
                     b = a + draw.around(0.1, 1.2) * door.stroke;
        CAPTURE(index, a, b);
        const double want = Quadrature::integrate([&](double x) { return load.force(x); }, a, b, 15, 1e-14);
        const double scale = (std::fabs(load.force(a)) + std::fabs(load.largest()) + 1) * door.stroke;
        CHECK(load.work(a, b) == Approx(want).epsilon(0).margin(1e-6 * scale));
      }
    }
  }
}

TEST_CASE("short cuts: the hold current is the first top of I over the curve", "[sim]") {
  for (std::size_t index = 0; index < studies; ++index) {
    const auto circuit = circuit_of(index);
    for (const auto& door : circuit.doors) {
      const double K_per_W = door.heat.ptc_to_ambient(), ambient = circuit.at.ambient_C;
      const auto hold = physics::hold_current(door.ptc, K_per_W, ambient);
      const auto top = door.ptc.curve->switch_T_C();
      if (!hold || !top || *top <= ambient) continue;
      // The same by small steps, until the current falls.
      double largest = 0;
      for (int n = 1; n <= 20000; ++n) {
        const double T = ambient + (*top - ambient) * n / 20000;
        const double current = std::sqrt((T - ambient) / (K_per_W * door.ptc.resistance(T).value));
        if (current < largest * (1 - 1e-12)) break;
        largest = current;
      }
      CAPTURE(index, ambient);
      CHECK(*hold == Approx(largest).epsilon(1e-5));
    }
  }
}
