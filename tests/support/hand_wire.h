// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

// The wire of docs/model.md section 6 written out a second time, slowly and plainly, for the tests of the
// verdicts.
namespace latchwright::tests {

struct HandWire {
  double area_m2, ohm_per_m, outside_m;
  double bundle = 1;
  double insulation_W_per_mK = 0.17;

  double conductor_m() const { return std::sqrt(4 * area_m2 / std::numbers::pi); }
  double resistance(double T) const { return ohm_per_m * (1 + 0.00393 * (T - 20)); }
  double copper_J_per_mK() const { return 3.45e6 * area_m2; }
  double whole_J_per_mK() const {
    const double d = conductor_m();
    return copper_J_per_mK() + 1.9e6 * std::numbers::pi / 4 * (outside_m * outside_m - d * d);
  }

  /// W/(m²K) at a surface: Churchill and Chu's horizontal cylinder and grey radiation of emissivity 0.9.
  double surface_W_per_m2K(double surface_C, double air_C) const {
    const double Ts = surface_C + 273.15, Ta = air_C + 273.15, film = (Ts + Ta) / 2;
    const double k = 0.0241 * std::pow(film / 273.15, 0.9);
    const double mu = 1.716e-5 * std::pow(film / 273.15, 1.5) * (273.15 + 110.4) / (film + 110.4);
    const double rho = 353 / film, cp = 1006;
    const double nu = mu / rho, alpha = k / (rho * cp), prandtl = nu / alpha;
    const double rayleigh =
        9.80665 / film * std::fabs(Ts - Ta) * outside_m * outside_m * outside_m / (nu * alpha);
    const double root = 0.60 + 0.387 * std::pow(rayleigh, 1.0 / 6) /
                                   std::pow(1 + std::pow(0.559 / prandtl, 9.0 / 16), 8.0 / 27);
    return root * root * k / outside_m + 0.9 * 5.670374e-8 * (Ts * Ts + Ta * Ta) * (Ts + Ta);
  }

  /// K·m/W from copper at T to the air; the surface by halving.
  double R(double T, double air_C) const {
    const double through = std::log(outside_m / conductor_m()) / (2 * std::numbers::pi * insulation_W_per_mK);
    double low = std::min(T, air_C), high = std::max(T, air_C);
    for (int n = 0; n < 60; ++n) {
      const double surface = 0.5 * (low + high);
      const double flow =
          std::numbers::pi * outside_m * surface_W_per_m2K(surface, air_C) * (surface - air_C);
      (surface + through * flow > T ? high : low) = surface;
    }
    return bundle * (through + 1 / (std::numbers::pi * outside_m * surface_W_per_m2K(low, air_C)));
  }

  /// degC after a constant current from the air's temperature: Runge–Kutta of fourth order in equal steps.
  double after(double amps, double air_C, double seconds, int steps = 1500) const {
    const auto rate = [&](double T) {
      return (amps * amps * resistance(T) - (T - air_C) / R(T, air_C)) / whole_J_per_mK();
    };
    const double h = seconds / steps;
    double T = air_C;
    for (int n = 0; n < steps; ++n) {
      const double a = rate(T), b = rate(T + h / 2 * a), c = rate(T + h / 2 * b), d = rate(T + h * c);
      T += h / 6 * (a + 2 * b + 2 * c + d);
    }
    return T;
  }

  /// s from `hot` to the limit, copper alone, R' as at the limit: Simpson's rule over the temperature;
  /// infinity where the loss at the limit outweighs the heat.
  double fault_time(double amps, double hot, double limit) const {
    const double loss = 1 / R(limit, hot);
    const auto net = [&](double T) { return amps * amps * resistance(T) - (T - hot) * loss; };
    if (net(limit) <= 0) return std::numeric_limits<double>::infinity();
    constexpr int pieces = 2000;
    const double h = (limit - hot) / pieces;
    double sum = 1 / net(hot) + 1 / net(limit);
    for (int n = 1; n < pieces; ++n) sum += (n % 2 ? 4 : 2) / net(hot + n * h);
    return copper_J_per_mK() * sum * h / 3;
  }
};

}  // namespace latchwright::tests
