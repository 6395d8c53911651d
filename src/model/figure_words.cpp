// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <iterator>

#include "model/tolerance.h"

namespace latchwright::model {

std::string figure_words(const std::string& pointer) {
  struct Words {
    const char *pointer, *words;
  };
  static constexpr Words rows[] = {
      {"/stroke_mm", "rod travel"},
      {"/motor/resistance_ohm", "winding resistance"},
      {"/motor/inductance_mH", "inductance"},
      {"/motor/torque_constant_mNm_per_A", "torque constant"},
      {"/motor/brush_drop_V", "brush drop"},
      {"/motor/friction_mNm", "motor friction"},
      {"/motor/viscous_uNms", "viscous friction"},
      {"/motor/inertia_gcm2", "inertia"},
      {"/motor/magnet_drift_per_K", "magnet drift"},
      {"/motor/cold_stiffening_per_K", "stiffening in the cold"},
      {"/drive/gear_ratio", "gear ratio"},
      {"/drive/lead_mm", "travel per turn"},
      {"/drive/efficiency", "gear efficiency"},
      {"/drive/takeup_turns", "take-up"},
      {"/drive/stop_stiffness_N_per_mm", "bump stop stiffness"},
      {"/drive/stop_damping_Ns_per_m", "bump stop damping"},
      {"/thermal/winding_J_per_K", "winding heat capacity"},
      {"/thermal/case_J_per_K", "case heat capacity"},
      {"/thermal/housing_J_per_K", "housing heat capacity"},
      {"/thermal/winding_to_case_K_per_W", "heat path winding to case"},
      {"/thermal/case_to_housing_K_per_W", "heat path case to housing"},
      {"/thermal/housing_to_ambient_K_per_W", "heat path housing to air"},
      {"/thermal/copper_J_per_K", "copper heat capacity"},
      {"/thermal/copper_to_core_K_per_W", "heat path copper to core"},
      {"/thermal/hot_coil_share", "share of the hottest coil"},
      {"/ptc/resistance_ohm", "thermistor resistance"},
      {"/ptc/heat_J_per_K", "thermistor heat capacity"},
      {"/ptc/to_housing_mW_per_K", "thermistor loss to housing"},
      {"/ptc/to_case_mW_per_K", "thermistor loss to case"},
      {"/ptc/after_trip_ratio", "thermistor rise after a trip"},
  };
  const auto found = std::find_if(std::begin(rows), std::end(rows),
                                  [&](const Words& row) { return pointer == row.pointer; });
  return found == std::end(rows) ? pointer : found->words;
}

}  // namespace latchwright::model
