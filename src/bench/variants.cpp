// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/variants.h"

#include <algorithm>
#include <array>
#include <string_view>

#include "base/failure.h"
#include "model/part_fields.h"

namespace latchwright::bench {

namespace {

constexpr const char* ptc_ohm = "/ptc/resistance_ohm";

/// Limits of use: no reading changes with them.
constexpr std::array<std::string_view, 4> limits = {"/motor/winding_class_C", "/motor/winding_fault_C",
                                                    "/ptc/max_V", "/ptc/max_A"};

template <class R>
bool scale_in(const model::Table<R>& table, std::string_view key, double factor, R& record) {
  const auto* field = table.find(key);
  if (field == nullptr || !field->get || !field->set) return false;
  if (const auto value = field->get(record)) {
    field->set(record, std::clamp(*value * factor, field->info.low, field->info.high));
  }
  return true;
}

}  // namespace

std::vector<std::pair<std::string, double>> tolerances_of(const model::Actuator& actuator) {
  std::vector<std::pair<std::string, double>> found;
  if (!actuator.tolerance.contains(ptc_ohm)) found.emplace_back(ptc_ohm, usual_ptc_tolerance);
  for (const auto& [pointer, half_width] : actuator.tolerance) {
    if (half_width <= 0 || std::find(limits.begin(), limits.end(), pointer) != limits.end()) continue;
    found.emplace_back(pointer, half_width);
  }
  return found;
}

model::Actuator with_scaled(const model::Actuator& actuator, const std::string& pointer, double factor) {
  model::Actuator scaled = actuator;
  const std::string_view place = pointer;
  const std::size_t cut = place.rfind('/');
  base::require(cut != std::string_view::npos, "a tolerance without a pointer");
  const std::string_view record = place.substr(0, cut), key = place.substr(cut + 1);
  bool known = false;
  if (record.empty()) known = scale_in(model::actuator_table(), key, factor, scaled);
  if (record == "/motor") known = scale_in(model::motor_table(), key, factor, scaled.motor);
  if (record == "/drive") known = scale_in(model::drive_table(), key, factor, scaled.drive);
  if (record == "/thermal") known = scale_in(model::thermal_table(), key, factor, scaled.thermal);
  if (record == "/ptc") known = scale_in(model::ptc_table(), key, factor, scaled.ptc);
  base::require(known, "a tolerance of no figure of an actuator");
  // Copper is a part of the armature, whatever both scatter by.
  auto& copper = scaled.thermal.copper_J_per_K;
  if (copper) *copper = std::min(*copper, 0.99 * scaled.thermal.winding_J_per_K);
  return scaled;
}

std::vector<Scatter> scatter_of(const model::Actuator& actuator) {
  std::vector<Scatter> causes;
  for (const auto& [pointer, half_width] : tolerances_of(actuator)) {
    causes.push_back(
        {pointer,
         {with_scaled(actuator, pointer, 1 - half_width), with_scaled(actuator, pointer, 1 + half_width)}});
  }
  if (actuator.ptc.after_trip_ratio != 1) {
    // The same thermistor once it has tripped; what is new already would be raised twice.
    model::Actuator tripped = with_scaled(actuator, ptc_ohm, actuator.ptc.after_trip_ratio);
    tripped.ptc.after_trip_ratio = 1;
    causes.push_back({"after a trip", {std::move(tripped)}});
  }
  return causes;
}

}  // namespace latchwright::bench
