// SPDX-License-Identifier: GPL-3.0-or-later
#include "physics/wire_heating.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "physics/fuses_and_wires.h"
#include "physics/short_circuit.h"

using namespace latchwright;
using physics::WireHeating;
using tests::infinity;
using tests::wire_of;

namespace {

constexpr double pi = 3.14159265358979323846;

/// The equations of docs/model.md section 6 written a second time, plainly: W/m from a surface.
double plain_loss(double d, double surface_C, double ambient_C) {
  const double Ts = surface_C + 273.15;
  const double Ta = ambient_C + 273.15;
  const double T = (Ts + Ta) / 2;
  const double rho = 353 / T;
  const double k = 0.0241 * std::pow(T / 273.15, 0.9);
  const double mu = 1.716e-5 * std::pow(T / 273.15, 1.5) * (273.15 + 110.4) / (T + 110.4);
  const double nu = mu / rho;
  const double alpha = k / (rho * 1006);
  const double Pr = nu / alpha;
  const double Ra = 9.80665 / T * std::abs(Ts - Ta) * std::pow(d, 3) / (nu * alpha);
  const double Nu = std::pow(
      0.60 + 0.387 * std::pow(Ra, 1.0 / 6) / std::pow(1 + std::pow(0.559 / Pr, 9.0 / 16), 8.0 / 27), 2);
  return pi * d * (Nu * k / d * (Ts - Ta) + 0.9 * 5.670374e-8 * (std::pow(Ts, 4) - std::pow(Ta, 4)));
}

/// Surface by halving, W/m from the conductor, one wire alone.
double plain_flow(const model::Wire& wire, double conductor_C, double ambient_C) {
  const double insulation =
      std::log(wire.outside / std::sqrt(4 * wire.area / pi)) / (2 * pi * wire.insulation_W_per_mK);
  double cold = ambient_C;
  double hot = conductor_C;
  for (int k = 0; k < 60; ++k) {
    const double middle = (cold + hot) / 2;
    const bool below = (conductor_C - middle) / insulation > plain_loss(wire.outside, middle, ambient_C);
    ((conductor_C > ambient_C) == below ? cold : hot) = middle;
  }
  return plain_loss(wire.outside, cold, ambient_C);
}

/// Classical Runge–Kutta in many equal steps.
double plain_temperature(const model::Wire& wire, double bundle, double current_A, double ambient_C,
                         double start_C, double seconds, int steps) {
  const double d2 = 4 * wire.area / pi;
  const double capacity = 3.45e6 * wire.area + 1.9e6 * pi / 4 * (wire.outside * wire.outside - d2);
  const auto rate = [&](double T) {
    const double r = wire.ohm_per_m * (1 + 0.00393 * (T - 20));
    return (current_A * current_A * r - plain_flow(wire, T, ambient_C) / bundle) / capacity;
  };
  double T = start_C;
  for (int k = 0; k < steps; ++k) {
    // Steps growing from the start, where free convection sets in.
    const auto at = [&](int n) { return seconds * std::pow(static_cast<double>(n) / steps, 3); };
    const double h = at(k + 1) - at(k);
    const double a = rate(T);
    const double b = rate(T + h / 2 * a);
    const double c = rate(T + h / 2 * b);
    const double e = rate(T + h * c);
    T += h / 6 * (a + 2 * b + 2 * c + e);
  }
  return T;
}

}  // namespace

TEST_CASE("free convection and radiation of a horizontal pipe", "[physics][wire]") {
  // Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 9.4 (from memory): steam pipe of
  // 0.1 m in air of 23 degC, surface 165 degC: Nu = 23.3, k = 0.0313 W/(m K), so 7.29 W/(m²K) and 325 W/m of
  // convection; radiation at emissivity 0.85 441 W/m, which makes 467 at 0.9. Air from a table there, from
  // formulas here: 1 %.
  auto pipe = wire_of(7853, 1, 100.001);
  const WireHeating heating(pipe, 1);
  CHECK(142 / heating.thermal_resistance_mK_per_W(165, 23) == Approx(325 + 467).epsilon(0.01));
}

TEST_CASE("heat resistance: insulation and surface in series, the bundle over both", "[physics][wire]") {
  const auto wire = wire_of(1.0, 18.5, 2.1);
  const WireHeating alone(wire, 1);
  for (const double T : {-30.0, 23.1, 70.0, 105.0, 160.0, 250.0}) {
    CAPTURE(T);
    CHECK(alone.thermal_resistance_mK_per_W(T, 23) ==
          Approx((T - 23) / plain_flow(wire, T, 23)).epsilon(1e-9));
    CHECK(WireHeating(wire, 1.7).thermal_resistance_mK_per_W(T, 23) ==
          Approx(1.7 * alone.thermal_resistance_mK_per_W(T, 23)).epsilon(1e-13));
  }
  // At equal temperatures the limit: Nu = 0.36 and the linear radiation 4 eps sigma T³.
  const double h =
      0.36 * 0.0241 * std::pow(296.15 / 273.15, 0.9) / 2.1e-3 + 4 * 0.9 * 5.670374e-8 * std::pow(296.15, 3);
  const double insulation = std::log(2.1e-3 / std::sqrt(4e-6 / pi)) / (2 * pi * 0.17);
  CHECK(alone.thermal_resistance_mK_per_W(23, 23) ==
        Approx(insulation + 1 / (pi * 2.1e-3 * h)).epsilon(1e-12));
}

TEST_CASE("heat capacities", "[physics][wire]") {
  // By hand: 1 mm²: 3.45 J/(K·m); ring of 2.1 mm: (3.463606 - 1) mm² · 1.9 = 4.680851.
  const WireHeating heating(wire_of(1.0, 18.5, 2.1), 1);
  CHECK(heating.copper_heat_capacity_J_per_mK() == Approx(3.45).epsilon(1e-12));
  CHECK(heating.heat_capacity_J_per_mK() == Approx(3.45 + 4.680851).epsilon(1e-6));
}

TEST_CASE("steady temperature and steady current undo each other", "[physics][wire]") {
  for (const double bundle : {1.0, 1.5, 3.0}) {
    for (const auto& wire :
         {wire_of(0.35, 54.4, 1.4), wire_of(1.0, 18.5, 2.1, 0.286), wire_of(6, 3.14, 4.3)}) {
      const WireHeating heating(wire, bundle);
      for (const double ambient : {-40.0, 23.0, 85.0}) {
        for (const double rise : {1e-3, 0.5, 20.0, 75.0, 300.0}) {
          const double current = heating.steady_current(ambient + rise, ambient);
          CAPTURE(bundle, ambient, rise, current);
          CHECK(heating.steady_temperature(current, ambient) - ambient == Approx(rise).epsilon(1e-8));
          // Heat made = heat lost.
          const double lost = rise / heating.thermal_resistance_mK_per_W(ambient + rise, ambient);
          CHECK(current * current * heating.ohm_per_m(ambient + rise) == Approx(lost).epsilon(1e-9));
        }
      }
    }
  }
  const WireHeating heating(wire_of(1.0, 18.5, 2.1), 1);
  CHECK(heating.steady_current(60, 60) == 0);
  CHECK(heating.steady_current(50, 60) == 0);
  CHECK(heating.steady_temperature(0, 60) == 60);
  // Runs away: I² r20 a20 exceeds what the insulation lets through, whatever the surface does.
  CHECK(heating.steady_temperature(150, 60) == infinity);
}

TEST_CASE("temperature after a time, against plain Runge–Kutta", "[physics][wire]") {
  struct Row {
    double current_A, ambient_C, start_C, seconds;
  };
  const auto wire = wire_of(1.0, 18.5, 2.1);
  for (const Row& row : {Row{12, 60, 60, 0.05}, Row{12, 60, 60, 5}, Row{12, 60, 60, 120}, Row{30, 60, 60, 60},
                         Row{5, 23, 23, 600}, Row{12, 60, 150, 40}, Row{0, 23, 120, 90}, Row{20, 60, 20, 30},
                         Row{120, 23, 23, 1.5}, Row{150, 60, 60, 5}}) {
    CAPTURE(row.current_A, row.ambient_C, row.start_C, row.seconds);
    const double got =
        WireHeating(wire, 1.3).temperature_after(row.current_A, row.ambient_C, row.start_C, row.seconds);
    const double plain =
        plain_temperature(wire, 1.3, row.current_A, row.ambient_C, row.start_C, row.seconds, 1200);
    CHECK(got - row.start_C == Approx(plain - row.start_C).epsilon(1e-6).margin(1e-6));
  }
}

TEST_CASE("temperature after a time: limits and order", "[physics][wire]") {
  const WireHeating heating(wire_of(0.5, 37.1, 1.6), 1.2);
  CHECK(heating.temperature_after(8, 60, 60, 0) == 60);
  CHECK(heating.temperature_after(0, 60, 60, 100) == Approx(60).margin(1e-9));
  CHECK(heating.temperature_after(8, 60, 60, 1e5) == Approx(heating.steady_temperature(8, 60)).margin(1e-6));
  CHECK(heating.temperature_after(8, 60, 300, 1e5) == Approx(heating.steady_temperature(8, 60)).margin(1e-6));
  CHECK(heating.temperature_after(100, 60, 60, 1e4) == infinity);
  // Two rests make one.
  const double half = heating.temperature_after(8, 60, 60, 17);
  CHECK(heating.temperature_after(8, 60, half, 26) ==
        Approx(heating.temperature_after(8, 60, 60, 43)).epsilon(1e-8));
  // Short enough: no loss yet, the rise is I² r t / C'.
  const double adiabatic = 64 * heating.ohm_per_m(60) * 1e-3 / heating.heat_capacity_J_per_mK();
  CHECK(heating.temperature_after(8, 60, 60, 1e-3) - 60 == Approx(adiabatic).epsilon(1e-3));
  // Never cooler later, nor with more current.
  double last = 60;
  for (double t = 0.01; t < 2000; t *= 1.3) {
    const double now = heating.temperature_after(8, 60, 60, t);
    CAPTURE(t);
    CHECK(now >= last);
    CHECK(heating.temperature_after(8.01, 60, 60, t) > now);
    last = now;
  }
}

TEST_CASE("fault time: closed form, its ends, and the adiabatic rule", "[physics][wire]") {
  const auto wire = wire_of(1.0, 18.5, 2.1);
  const WireHeating heating(wire, 1.4);
  const auto curve = heating.fault_curve(60, 160);
  // The edge is the steady current at the limit temperature.
  CHECK(curve.steady_A() == Approx(heating.steady_current(160, 60)).epsilon(1e-9));
  CHECK(curve(curve.steady_A()) == infinity);
  CHECK(curve(0.5 * curve.steady_A()) == infinity);
  CHECK(curve(0) == infinity);
  CHECK(curve(1.001 * curve.steady_A()) < infinity);
  // Against stepping the linear equation itself.
  const double loss = 1 / heating.thermal_resistance_mK_per_W(160, 60);
  for (const double current : {curve.steady_A() * 1.05, 40.0, 90.0}) {
    CAPTURE(current);
    const double whole = heating.fault_time(current, 60, 160);
    double T = 60;
    constexpr int steps = 20000;
    for (int k = 0; k < steps; ++k) {
      const auto rate = [&](double at) {
        return (current * current * heating.ohm_per_m(at) - loss * (at - 60)) / 3.45;
      };
      T += whole / steps * rate(T + 0.5 * whole / steps * rate(T));
    }
    CHECK(T == Approx(160).margin(1e-4));
  }
  // Where the copper's own rise just offsets the loss the logarithm becomes a straight line; no jump there.
  const double flat = std::sqrt(loss / (wire.ohm_per_m * 0.00393));
  CHECK(curve(flat) == Approx(3.45 * 100 / (flat * flat * heating.ohm_per_m(60))).epsilon(1e-6));
  CHECK(curve(flat * (1 + 1e-9)) == Approx(curve(flat)).epsilon(1e-7));
  // Large currents: k²A² = I²t. The cable's resistance per metre takes the place of rho20/A; with 17.241
  // ohm/km they are the same copper but for 234.45 instead of 234.5.
  const WireHeating pure(wire_of(1.0, 17.241, 2.1), 1);
  const double k = physics::adiabatic_k(60, 160);
  CHECK(pure.fault_time(1e5, 60, 160) == Approx(physics::adiabatic_time(1e-6, k, 1e5)).epsilon(5e-4));
  // Already there.
  CHECK(heating.fault_time(1, 170, 160) == 0);
}
