// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

namespace latchwright::bench {

/// How an actuator answers to power: in both directions, in one only, not at all.
enum class Moves { both, one, neither };

/// By so much a meter's own leads may read differently from touch to touch.
inline constexpr double touch_ohm = 0.3;

/// What an installer has read so far; everything may be missing. 0 is a lawful reading.
struct Readings {
  std::optional<double>
      leads_ohm;  ///< across the actuator's leads, the meter's own included; infinity: open line
  std::optional<double> meter_ohm;  ///< the meter's own leads, touched together
  std::optional<double> idle_min;   ///< since it was last used, until it was read; as remembered
  std::optional<int> used;          ///< throws just before that; as remembered
  double on_s = 0.7;                ///< of those throws: pulse
  double gap_s = 1.0;               ///< and rest between them
  std::optional<double> ambient_C;
  std::optional<double> supply_V;   ///< at the actuator while energised
  std::optional<double> current_A;  ///< then
  std::optional<Moves> moves;
  std::optional<bool> frees;  ///< moves again after a wait
};

}  // namespace latchwright::bench
