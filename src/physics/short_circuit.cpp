// SPDX-License-Identifier: GPL-3.0-or-later
#include "physics/short_circuit.h"

#include <cmath>
#include <limits>

namespace latchwright::physics {
namespace {

constexpr double rho20 = 17.241e-9;        // ohm·m, annealed copper, IEC 60028
constexpr double zero_resistance = 234.5;  // K below 0 degC, as IEC 60364-5-54 rounds it

}  // namespace

// docs/model.md (6.8)
double adiabatic_k(double initial_C, double final_C) {
  if (final_C <= initial_C) return 0;
  const double constant = copper_heat_per_m3 * (zero_resistance + 20) / rho20;
  return std::sqrt(constant * std::log((zero_resistance + final_C) / (zero_resistance + initial_C)));
}

double adiabatic_time(double area_m2, double k, double current_A) {
  if (current_A == 0) return std::numeric_limits<double>::infinity();
  const double root = k * area_m2 / current_A;
  return root * root;
}

}  // namespace latchwright::physics
