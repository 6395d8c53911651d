// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/rod_shapes.h"

#include <algorithm>

#include "model/job_fields.h"

namespace latchwright::desk {

using model::Raw;

namespace {

const std::vector<std::string>& keys_of(const std::string& shape) {
  const auto& names = model::rod_shape_names();
  const auto found = std::find(names.begin(), names.end(), shape);
  const auto index = found == names.end() ? 0 : found - names.begin();
  return model::rod_shape_keys(static_cast<model::RodShape>(index));
}

double number_at(const Raw& record, const char* key, double otherwise) {
  const Raw* value = record.find(key);
  return value && value->number() ? *value->number() : otherwise;
}

/// The largest force of any shape.
double peak_of(const Raw& rod_force) {
  double peak = number_at(rod_force, "peak_N", 0);
  const Raw* forces = rod_force.find("N");
  if (forces && forces->list()) {
    for (const Raw& each : *forces->list()) {
      if (each.number()) peak = std::max(peak, *each.number());
    }
  }
  return peak;
}

}  // namespace

bool belongs_to_shape(const Raw& rod_force, const std::string& key) {
  if (key == "shape" || key == "cold_factor") return true;
  const Raw* shape = rod_force.find("shape");
  if (shape == nullptr || shape->text() == nullptr) return false;
  const auto& keys = keys_of(*shape->text());
  return std::find(keys.begin(), keys.end(), key) != keys.end();
}

Raw reshaped(const Raw& rod_force, const std::string& shape, double stroke_mm) {
  const double peak = peak_of(rod_force);
  Raw::Object members{{"shape", Raw(shape)}};
  for (const std::string& key : keys_of(shape)) {
    if (key == "peak_N") members.emplace_back(key, Raw(peak));
    // No rod force known so far says how far it falls at the ends.
    if (key == "friction_N") members.emplace_back(key, Raw(number_at(rod_force, "friction_N", peak)));
    if (key == "x_mm") members.emplace_back(key, Raw(Raw::List{Raw(0.0), Raw(stroke_mm)}));
    if (key == "N") members.emplace_back(key, Raw(Raw::List{Raw(peak), Raw(peak)}));
  }
  if (const Raw* cold = rod_force.find("cold_factor")) members.emplace_back("cold_factor", *cold);
  return Raw(std::move(members));
}

}  // namespace latchwright::desk
