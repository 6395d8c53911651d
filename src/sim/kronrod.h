// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace latchwright::sim {

/// Kronrod's rule of 7 points on 0..1 around Gauss's of 3 (A. S. Kronrod 1965; values from memory, their
/// moments are checked by a test).
struct KronrodNode {
  double place, weight, gauss_weight;
};
inline constexpr KronrodNode kronrod_nodes[] = {
    {0.5 - 0.5 * 0.774596669241483377, 0.5 * 0.268488089868333440, 5.0 / 18},
    {0.5, 0.5 * 0.450916538658474142, 8.0 / 18},
    {0.5 + 0.5 * 0.774596669241483377, 0.5 * 0.268488089868333440, 5.0 / 18},
    {0.5 - 0.5 * 0.960491268708020283, 0.5 * 0.104656226026467265, 0},
    {0.5 - 0.5 * 0.434243749346802558, 0.5 * 0.401397414775962222, 0},
    {0.5 + 0.5 * 0.434243749346802558, 0.5 * 0.401397414775962222, 0},
    {0.5 + 0.5 * 0.960491268708020283, 0.5 * 0.104656226026467265, 0},
};
inline constexpr int gauss_nodes = 3;  // the first of them

}  // namespace latchwright::sim
