// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

// Short circuits of copper conductors, too quick for heat to leave (up to 5 s): the adiabatic rule of
// IEC 60364-4-43 and IEC 60364-5-54, k²A² = I²t. docs/model.md section 6.
namespace latchwright::physics {

/// J/(m³K), volumetric heat of copper, IEC 60364-5-54.
inline constexpr double copper_heat_per_m3 = 3.45e6;

/// A·√s/m² (the standard prints A·√s/mm²: 1e6 times less) for copper heated from `initial_C` to `final_C`:
/// k² = Qc (234.5 + 20)/rho20 · ln((234.5 + final)/(234.5 + initial)). 0 if final is not above initial.
double adiabatic_k(double initial_C, double final_C);

/// s that a conductor of `area_m2` bears `current_A`; infinity at 0 A.
double adiabatic_time(double area_m2, double k, double current_A);

}  // namespace latchwright::physics
