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
constexpr std::array<std::string_view, 4> limits = {"/motor/winding_class_C", "/ptc/max_V", "/ptc/max_A"};

/// Calls use(table, record, key) for the record of an actuator that a pointer leads into; false: into none.
template <class A, class Use>
bool with_record(A& actuator, const std::string& pointer, const Use& use) {
  const std::string_view place = pointer;
  const std::size_t cut = place.rfind('/');
  base::require(cut != std::string_view::npos, "a tolerance without a pointer");
  const std::string_view record = place.substr(0, cut), key = place.substr(cut + 1);
  if (record.empty()) return use(actuator_table(), actuator, key);
  if (record == "/motor") return use(motor_table(), actuator.motor, key);
  if (record == "/drive") return use(drive_table(), actuator.drive, key);
  if (record == "/thermal") return use(thermal_table(), actuator.thermal, key);
  if (record == "/ptc") return use(ptc_table(), actuator.ptc, key);
  return false;
}

}  // namespace

const std::vector<UsualTolerance>& usual_tolerances() {
  constexpr const char* choice = "choice of this project";
  static const std::vector<UsualTolerance> rows{
      {ptc_ohm, usual_ptc_tolerance, "usual in published thermistor catalogues"},
      {"/ptc/heat_J_per_K", 0.10, choice},
      {"/ptc/to_housing_mW_per_K", 0.20, choice},
      {"/ptc/to_case_mW_per_K", 0.20, choice},
      {"/motor/resistance_ohm", 0.10, choice},
      {"/motor/torque_constant_mNm_per_A", 0.10, choice},
      {"/motor/brush_drop_V", 0.20, choice},
      {"/motor/friction_mNm", 0.30, choice},
      {"/drive/efficiency", 0.10, choice},
      {"/thermal/winding_J_per_K", 0.10, choice},
      {"/thermal/housing_to_ambient_K_per_W", 0.20, choice},
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

double widest_ptc_tolerance(const Study& study) {
  double widest = 0;
  for (std::size_t k = 0; k < study.doors.size(); ++k) {
    widest = std::max(widest, ptc_tolerance(study.actuator(k)));
  }
  return widest;
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
  constexpr const char* stated = "stated by the part";
  std::vector<PartTolerance> all;
  for (const UsualTolerance& row : usual_tolerances()) {
    const auto own = actuator.tolerance.find(row.pointer);
    if (own == actuator.tolerance.end()) {
      all.push_back({row.pointer, row.half_width, row.origin, false});
    } else {
      all.push_back({row.pointer, own->second, stated, true});
    }
  }
  for (const auto& [pointer, half_width] : tolerances_of(actuator)) {
    const auto is = [&pointer = pointer](const PartTolerance& one) { return one.pointer == pointer; };
    if (std::none_of(all.begin(), all.end(), is)) all.push_back({pointer, half_width, stated, true});
  }
  std::erase_if(all, [](const PartTolerance& one) { return one.half_width <= 0; });
  return all;
}

std::optional<double> figure_at(const Actuator& actuator, const std::string& pointer) {
  std::optional<double> value;
  const bool known = with_record(actuator, pointer, [&](const auto& table, const auto& record, auto key) {
    const auto* field = table.find(key);
    if (field == nullptr || !field->get || !field->set) return false;
    value = field->get(record);
    return true;
  });
  base::require(known, "a tolerance of no figure of an actuator");
  return value;
}

Actuator with_scaled(const Actuator& actuator, const std::string& pointer, double factor) {
  Actuator scaled = actuator;
  const bool known = with_record(scaled, pointer, [&](const auto& table, auto& record, auto key) {
    const auto* field = table.find(key);
    if (field == nullptr || !field->get || !field->set) return false;
    if (const auto value = field->get(record)) {
      field->set(record, std::clamp(*value * factor, field->info.low, field->info.high));
    }
    return true;
  });
  base::require(known, "a tolerance of no figure of an actuator");
  // Copper is a part of the armature, whatever both scatter by.
  auto& copper = scaled.thermal.copper_J_per_K;
  if (copper) *copper = std::min(*copper, 0.99 * scaled.thermal.winding_J_per_K);
  return scaled;
}

}  // namespace latchwright::model
