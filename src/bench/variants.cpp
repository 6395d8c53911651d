// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/variants.h"

#include "model/tolerance.h"

namespace latchwright::bench {

namespace {

constexpr const char* ptc_ohm = "/ptc/resistance_ohm";

}  // namespace

std::vector<Scatter> scatter_of(const model::Actuator& actuator) {
  std::vector<Scatter> causes;
  for (const auto& [pointer, half_width, origin, stated] : model::every_tolerance(actuator)) {
    causes.push_back({pointer,
                      {model::with_scaled(actuator, pointer, 1 - half_width),
                       model::with_scaled(actuator, pointer, 1 + half_width)}});
  }
  if (actuator.ptc.after_trip_ratio != 1) {
    // The same thermistor once it has tripped; what is new already would be raised twice.
    model::Actuator tripped = model::with_scaled(actuator, ptc_ohm, actuator.ptc.after_trip_ratio);
    tripped.ptc.after_trip_ratio = 1;
    causes.push_back({"after a trip", {std::move(tripped)}});
  }
  return causes;
}

}  // namespace latchwright::bench
