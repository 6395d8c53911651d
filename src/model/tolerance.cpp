// SPDX-License-Identifier: GPL-3.0-or-later
#include "model/tolerance.h"

#include <algorithm>
#include <array>
#include <string_view>

#include "base/failure.h"
#include "model/part_fields.h"

namespace latchwright::model {

namespace {

constexpr const char* ptc_ohm = "/ptc/resistance_ohm";

/// Limits of use: no reading changes with them.
constexpr std::array<std::string_view, 4> limits = {"/motor/winding_class_C", "/motor/winding_fault_C",
                                                    "/ptc/max_V", "/ptc/max_A"};

template <class R>
bool scale_in(const Table<R>& table, std::string_view key, double factor, R& record) {
  const auto* field = table.find(key);
  if (field == nullptr || !field->get || !field->set) return false;
  if (const auto value = field->get(record)) {
    field->set(record, std::clamp(*value * factor, field->info.low, field->info.high));
  }
  return true;
}

}  // namespace

const std::vector<UsualTolerance>& usual_tolerances() {
  constexpr const char* choice = "choice of this project";
  static const std::vector<UsualTolerance> rows{
      {ptc_ohm, "thermistor resistance", usual_ptc_tolerance, "usual in published thermistor catalogues"},
      {"/ptc/heat_J_per_K", "heat capacity of the thermistor", 0.10, choice},
      {"/ptc/to_housing_mW_per_K", "thermistor's loss to the housing", 0.20, choice},
      {"/ptc/to_case_mW_per_K", "thermistor's loss to the motor case", 0.20, choice},
      {"/motor/resistance_ohm", "winding resistance", 0.10, choice},
      {"/motor/torque_constant_mNm_per_A", "torque constant", 0.10, choice},
      {"/motor/brush_drop_V", "brush drop", 0.20, choice},
      {"/motor/friction_mNm", "friction of the motor", 0.30, choice},
      {"/drive/efficiency", "efficiency of gears and screw", 0.10, choice},
      {"/thermal/winding_J_per_K", "heat capacity of the armature", 0.10, choice},
      {"/thermal/housing_to_ambient_K_per_W", "thermal resistance from housing to air", 0.20, choice},
  };
  return rows;
}

double usual_tolerance(const std::string& pointer) {
  for (const UsualTolerance& row : usual_tolerances()) {
    if (pointer == row.pointer) return row.half_width;
  }
  throw base::InternalError("no usual tolerance of " + pointer);
}

double ptc_tolerance(const Actuator& actuator) {
  const auto own = actuator.tolerance.find(ptc_ohm);
  return own == actuator.tolerance.end() ? usual_ptc_tolerance : own->second;
}

std::vector<std::pair<std::string, double>> tolerances_of(const Actuator& actuator) {
  std::vector<std::pair<std::string, double>> found;
  if (!actuator.tolerance.contains(ptc_ohm)) found.emplace_back(ptc_ohm, usual_ptc_tolerance);
  for (const auto& [pointer, half_width] : actuator.tolerance) {
    if (half_width <= 0 || std::find(limits.begin(), limits.end(), pointer) != limits.end()) continue;
    found.emplace_back(pointer, half_width);
  }
  return found;
}

std::vector<PartTolerance> every_tolerance(const Actuator& actuator) {
  std::vector<PartTolerance> all;
  for (const UsualTolerance& row : usual_tolerances()) {
    if (!actuator.tolerance.contains(row.pointer))
      all.push_back({row.pointer, row.name, row.half_width, false});
  }
  for (const auto& [pointer, half_width] : tolerances_of(actuator)) {
    if (!actuator.tolerance.contains(pointer)) continue;
    const auto& rows = usual_tolerances();
    const auto row =
        std::find_if(rows.begin(), rows.end(), [&](const auto& usual) { return pointer == usual.pointer; });
    all.push_back({pointer, row == rows.end() ? pointer : row->name, half_width, true});
  }
  return all;
}

Actuator with_scaled(const Actuator& actuator, const std::string& pointer, double factor) {
  Actuator scaled = actuator;
  const std::string_view place = pointer;
  const std::size_t cut = place.rfind('/');
  base::require(cut != std::string_view::npos, "a tolerance without a pointer");
  const std::string_view record = place.substr(0, cut), key = place.substr(cut + 1);
  bool known = false;
  if (record.empty()) known = scale_in(actuator_table(), key, factor, scaled);
  if (record == "/motor") known = scale_in(motor_table(), key, factor, scaled.motor);
  if (record == "/drive") known = scale_in(drive_table(), key, factor, scaled.drive);
  if (record == "/thermal") known = scale_in(thermal_table(), key, factor, scaled.thermal);
  if (record == "/ptc") known = scale_in(ptc_table(), key, factor, scaled.ptc);
  base::require(known, "a tolerance of no figure of an actuator");
  // Copper is a part of the armature, whatever both scatter by.
  auto& copper = scaled.thermal.copper_J_per_K;
  if (copper) *copper = std::min(*copper, 0.99 * scaled.thermal.winding_J_per_K);
  return scaled;
}

}  // namespace latchwright::model
