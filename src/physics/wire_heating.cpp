// SPDX-License-Identifier: GPL-3.0-or-later
#include "physics/wire_heating.h"

#include <algorithm>
#include <boost/math/quadrature/gauss.hpp>
#include <cmath>
#include <numbers>

#include "base/failure.h"
#include "base/infinity.h"
#include "physics/copper.h"
#include "physics/short_circuit.h"

namespace latchwright::physics {
namespace {

using std::numbers::pi;

using base::infinity;
constexpr double kelvin = 273.15;
constexpr double gravity = 9.80665;               // m/s²
constexpr double stefan_boltzmann = 5.670374e-8;  // W/(m²K⁴)
constexpr double emissivity = 0.9;                // dull plastic
constexpr double insulation_heat = 1.9e6;         // J/(m³K), PVC, from memory
constexpr double air_heat = 1006;                 // J/(kg K)
constexpr double copper_boils_C = 2562;

/// Root of a rising function; f(x) gives value and slope, f(low) <= 0 <= f(high).
template <class Function>
double solve_rising(const Function& f, double low, double high, double x) {
  constexpr int limit = 100;
  for (int k = 0; k < limit; ++k) {
    const auto [value, slope] = f(x);
    if (value == 0) return x;
    (value > 0 ? high : low) = x;
    double next = x - value / slope;
    if (!(next > low && next < high)) next = 0.5 * (low + high);
    const double moved = std::abs(next - x);
    x = next;
    // Newton doubles its digits: what is left after a step of 1e-7 K is below rounding.
    if (moved < 1e-7 && k > 1) break;
  }
  const auto [value, slope] = f(x);
  return std::clamp(x - value / slope, low, high);
}

struct ValueSlope {
  double value;
  double slope;
};

}  // namespace

FaultCurve::FaultCurve(double copper_J_per_mK, double ohm_per_m, double ohm_per_mK, double loss_W_per_mK,
                       double rise_K)
    : copper_J_per_mK_(copper_J_per_mK),
      ohm_per_m_(ohm_per_m),
      ohm_per_mK_(ohm_per_mK),
      loss_W_per_mK_(loss_W_per_mK),
      rise_K_(rise_K),
      steady_A_(rise_K > 0 ? std::sqrt(loss_W_per_mK * rise_K / (ohm_per_m + ohm_per_mK * rise_K)) : 0) {}

double FaultCurve::operator()(double current_A) const {
  if (rise_K_ <= 0) return 0;
  if (current_A <= steady_A_) return infinity;
  const double square = current_A * current_A;
  const double heat = square * ohm_per_m_;
  // docs/model.md (6.7)
  // x > -1: at -1 the heat at the limit just balances the loss. log1p(x)/x goes through 1 at x = 0.
  const double x = (square * ohm_per_mK_ - loss_W_per_mK_) * rise_K_ / heat;
  if (x <= -1) return infinity;
  return copper_J_per_mK_ * rise_K_ / heat * (x == 0 ? 1 : std::log1p(x) / x);
}

WireHeating::WireHeating(const model::Wire& wire, double bundle_factor)
    : r20_(wire.ohm_per_m), outside_(wire.outside), bundle_factor_(bundle_factor) {
  const double conductor = std::sqrt(4 * wire.area / pi);
  base::require(wire.area > 0 && wire.ohm_per_m > 0 && bundle_factor > 0, "a wire needs copper");
  base::require(wire.outside >= conductor, "a wire's outside lies within its conductor");
  base::require(wire.insulation_W_per_mK > 0, "a wire's insulation needs a conductivity");
  // docs/model.md (6.2), (6.3)
  insulation_mK_per_W_ = std::log(outside_ / conductor) / (2 * pi * wire.insulation_W_per_mK);
  copper_J_per_mK_ = copper_heat_per_m3 * wire.area;
  whole_J_per_mK_ =
      copper_J_per_mK_ + insulation_heat * pi / 4 * (outside_ * outside_ - conductor * conductor);
}

double WireHeating::ohm_per_m(double T_C) const { return copper_resistance(r20_, 20, T_C); }

WireHeating::SurfaceLoss WireHeating::surface_loss(double surface_C, double ambient_C) const {
  const double surface = surface_C + kelvin;
  const double ambient = ambient_C + kelvin;
  const double rise = surface - ambient;
  const double film = 0.5 * (surface + ambient);
  // Air at film temperature, docs/model.md (6.6), and the logarithmic slopes in it.
  const double conductivity = 0.0241 * std::pow(film / kelvin, 0.9);
  const double viscosity =
      1.716e-5 * film / kelvin * std::sqrt(film / kelvin) * (kelvin + 110.4) / (film + 110.4);
  const double viscosity_slope = 1.5 / film - 1 / (film + 110.4);
  const double density = 353 / film;
  const double prandtl = viscosity * air_heat / conductivity;
  const double prandtl_slope = viscosity_slope - 0.9 / film;
  const double rayleigh = gravity * std::abs(rise) * outside_ * outside_ * outside_ * density * density *
                          air_heat / (film * viscosity * conductivity);
  // rise · d ln Ra / d surface: finite at rise = 0.
  const double rayleigh_slope = 1 - 0.5 * rise * (3.9 / film + viscosity_slope);
  // Churchill–Chu, docs/model.md (6.4): Nu = (0.60 + 0.387 Ra^(1/6) / (1 + (0.559/Pr)^(9/16))^(8/27))²
  const double p = std::pow(0.559 / prandtl, 9.0 / 16);
  const double varying = 0.387 * std::pow(rayleigh, 1.0 / 6) / std::pow(1 + p, 8.0 / 27);
  const double root = 0.60 + varying;
  const double convection = root * root * conductivity / outside_;
  const double varying_slope =
      rayleigh_slope / 6 + 0.5 * rise * (8.0 / 27) * (9.0 / 16) * p / (1 + p) * prandtl_slope;
  const double convection_slope =
      convection * (1 + 2 * varying / root * varying_slope + 0.5 * rise * 0.9 / film);
  // docs/model.md (6.5)
  const double radiation =
      emissivity * stefan_boltzmann * (surface * surface + ambient * ambient) * (surface + ambient);
  const double radiation_slope = 4 * emissivity * stefan_boltzmann * surface * surface * surface;
  const double around = pi * outside_;
  return {around * (convection + radiation), around * (convection + radiation) * rise,
          around * (convection_slope + radiation_slope)};
}

double WireHeating::surface_temperature(double conductor_C, double ambient_C) const {
  if (conductor_C == ambient_C || insulation_mK_per_W_ <= 0) return conductor_C;
  const auto excess = [&](double surface_C) {
    const SurfaceLoss loss = surface_loss(surface_C, ambient_C);
    return ValueSlope{surface_C + insulation_mK_per_W_ * loss.flow - conductor_C,
                      1 + insulation_mK_per_W_ * loss.slope};
  };
  const double guess = ambient_C + 0.9 * (conductor_C - ambient_C);
  return solve_rising(excess, std::min(conductor_C, ambient_C), std::max(conductor_C, ambient_C), guess);
}

double WireHeating::thermal_resistance_mK_per_W(double conductor_C, double ambient_C) const {
  const double surface_C = surface_temperature(conductor_C, ambient_C);
  return bundle_factor_ * (insulation_mK_per_W_ + 1 / surface_loss(surface_C, ambient_C).per_kelvin);
}

double WireHeating::steady_surface(double current_A, double ambient_C) const {
  const double heat20 = current_A * current_A * r20_;
  // The conductor stands insulation · flow above the surface; its extra heat grows with that flow, and once
  // it grows as fast as the flow there is no balance.
  const double left = 1 / bundle_factor_ - heat20 * copper_a20 * insulation_mK_per_W_;
  const auto excess = [&](double surface_C) {
    const SurfaceLoss loss = surface_loss(surface_C, ambient_C);
    return ValueSlope{left * loss.flow - heat20 * (1 + copper_a20 * (surface_C - 20)),
                      left * loss.slope - heat20 * copper_a20};
  };
  if (current_A == 0) return ambient_C;
  if (left <= 0 || excess(copper_boils_C).value <= 0) return copper_boils_C;
  const double at_ambient = surface_loss(ambient_C, ambient_C).per_kelvin;
  const double guess = ambient_C + 0.7 * heat20 * (1 + copper_a20 * (ambient_C - 20)) / (left * at_ambient);
  return solve_rising(excess, ambient_C, copper_boils_C, std::min(guess, copper_boils_C));
}

double WireHeating::steady_temperature(double current_A, double ambient_C) const {
  const double surface_C = steady_surface(current_A, ambient_C);
  if (surface_C >= copper_boils_C) return infinity;
  return surface_C + insulation_mK_per_W_ * surface_loss(surface_C, ambient_C).flow;
}

double WireHeating::steady_current(double conductor_C, double ambient_C) const {
  if (conductor_C <= ambient_C) return 0;
  const double loss = (conductor_C - ambient_C) / thermal_resistance_mK_per_W(conductor_C, ambient_C);
  return std::sqrt(loss / ohm_per_m(conductor_C));
}

double WireHeating::temperature_after(double current_A, double ambient_C, double start_C,
                                      double seconds) const {
  // docs/model.md (6.1)
  // Separable: t is an integral over the surface temperature, from which the conductor's follows without a
  // search. With surface = end + gap e^-s the integrand dt/ds is the local time constant, nearly even in s.
  const double end_C = steady_surface(current_A, ambient_C);
  const double gap = surface_temperature(start_C, ambient_C) - end_C;
  constexpr double settled_K = 1e-7;
  if (seconds <= 0 || std::abs(gap) <= settled_K) return start_C;
  const double square = current_A * current_A;
  const auto conductor = [&](double s) {
    const double surface_C = end_C + gap * std::exp(-s);
    return surface_C + insulation_mK_per_W_ * surface_loss(surface_C, ambient_C).flow;
  };
  const auto time_constant = [&](double s) {
    const double distance = gap * std::exp(-s);
    const SurfaceLoss loss = surface_loss(end_C + distance, ambient_C);
    const double conductor_C = end_C + distance + insulation_mK_per_W_ * loss.flow;
    const double net = square * ohm_per_m(conductor_C) - loss.flow / bundle_factor_;
    return -whole_J_per_mK_ * (1 + insulation_mK_per_W_ * loss.slope) * distance / net;
  };
  const auto time_between = [&](double from, double to) {
    using boost::math::quadrature::gauss;
    if (from > 0) return gauss<double, 7>::integrate(time_constant, from, to);
    // Free convection starts as the sixth root of the rise: s = v^6 takes the kink out of a start at ambient.
    const auto in_root = [&](double v) { return 6 * std::pow(v, 5) * time_constant(std::pow(v, 6)); };
    return gauss<double, 15>::integrate(in_root, 0.0, std::pow(to, 1.0 / 6));
  };
  const double last = std::log(std::abs(gap) / settled_K);
  double passed = 0;
  for (double from = 0; from < last;) {
    const double to = std::min(last, from + (from > 0 ? 2.0 : 1.0));
    const double whole = time_between(from, to);
    if (passed + whole >= seconds) {
      const double wanted = seconds - passed;
      double s = from + (to - from) * wanted / whole;
      for (int k = 0; k < 20; ++k) {
        const double step = (wanted - time_between(from, s)) / time_constant(s);
        // Half-way to an edge at most, so that a poor first guess stays inside.
        s = std::clamp(s + step, 0.5 * (from + s), 0.5 * (to + s));
        if (std::abs(step) < 1e-8) break;
      }
      return conductor(s);
    }
    passed += whole;
    from = to;
  }
  return end_C >= copper_boils_C ? infinity : steady_temperature(current_A, ambient_C);
}

FaultCurve WireHeating::fault_curve(double hot_C, double short_time_C) const {
  return {copper_J_per_mK_, ohm_per_m(hot_C), r20_ * copper_a20,
          1 / thermal_resistance_mK_per_W(short_time_C, hot_C), short_time_C - hot_C};
}

}  // namespace latchwright::physics
