// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

// Copper of windings and cables, docs/model.md section 1.
namespace latchwright::physics {

/// 1/K, temperature coefficient of resistance at 20 degC (IEC 60028).
inline constexpr double copper_a20 = 0.00393;
/// 1/K, the same line's coefficient about 25 degC, where windings are given.
inline constexpr double copper_a25 = copper_a20 / (1 + copper_a20 * 5.0);

/// docs/model.md (1.1).
/// ohm (or ohm/m) at `T_C`, from the value at `T_ref_C`: linear in temperature, for -60 to 300 degC or so.
/// Windings are given at 25 degC, cables at 20 degC. The law reaches 0 at -234.5 degC and means nothing
/// below.
inline double copper_resistance(double r_ref, double T_ref_C, double T_C) {
  return r_ref * (1 + copper_a20 * (T_C - 20)) / (1 + copper_a20 * (T_ref_C - 20));
}

}  // namespace latchwright::physics
