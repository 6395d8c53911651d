// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <cmath>

#include "base/tables.h"
#include "base/text.h"
#include "model/catalogue.h"

// What one row cannot say of a part: orderings, list lengths, options given by halves.
namespace latchwright::model {

namespace {

bool check_rising(const std::vector<double>& values, std::string_view unit, const std::string& pointer,
                  ReadContext& context) {
  for (std::size_t k = 1; k < values.size(); ++k) {
    if (values[k] <= values[k - 1]) {
      context.add(pointer_to(pointer, k), fmt::format("{}{} must be above the entry before it ({}{})",
                                                      base::exact_text(values[k]), unit,
                                                      base::exact_text(values[k - 1]), unit));
      return false;
    }
  }
  return true;
}

bool check_same_length(std::size_t have, std::size_t want, const std::string& pointer, std::string_view other,
                       ReadContext& context) {
  if (have == want) return true;
  context.add(pointer, fmt::format("has {} where {} has {}", entries_text(have), other, want));
  return false;
}

void check_curve(const PtcCurve& curve, const std::string& pointer, ReadContext& context) {
  bool good = check_same_length(curve.ratio.size(), curve.T_C.size(), pointer + "/ratio", "T_C", context);
  good = check_rising(curve.T_C, " °C", pointer + "/T_C", context) && good;
  if (!good) return;
  if (curve.T_C.front() > 25 || curve.T_C.back() < 25) {
    context.add(pointer + "/T_C", fmt::format("must span 25 °C (it runs from {} to {} °C)", base::exact_text(curve.T_C.front()),
                                              base::exact_text(curve.T_C.back())));
    return;
  }
  std::vector<double> logs;
  for (const double ratio : curve.ratio) logs.push_back(std::log(ratio));
  const double at_25 = std::exp(base::MonotoneCurve(curve.T_C, logs)(25));
  if (std::fabs(at_25 - 1) > 0.01) {
    context.add(pointer + "/ratio",
                fmt::format("comes to {} at 25 °C (0.99 to 1.01 is wanted there)", base::significant(at_25, 4)));
  }
}

void check_actuator(const Actuator& actuator, const std::string& pointer, ReadContext& context) {
  const Thermal& thermal = actuator.thermal;
  if (thermal.copper_J_per_K.has_value() != thermal.copper_to_core_K_per_W.has_value()) {
    const bool capacity = thermal.copper_J_per_K.has_value();
    context.add(pointer + (capacity ? "/thermal/copper_to_core_K_per_W" : "/thermal/copper_J_per_K"),
                fmt::format("is missing ({} is given, and the two go together)",
                            pointer + (capacity ? "/thermal/copper_J_per_K" : "/thermal/copper_to_core_K_per_W")));
  }
  if (thermal.hot_coil_share && !thermal.copper_J_per_K) {
    context.add(pointer + "/thermal/hot_coil_share",
                "needs copper_J_per_K and copper_to_core_K_per_W beside it");
  }
  if (thermal.copper_J_per_K && *thermal.copper_J_per_K >= thermal.winding_J_per_K) {
    context.add(pointer + "/thermal/copper_J_per_K",
                fmt::format("{} J/K must be below {} ({} J/K), of which it is a part",
                            base::exact_text(*thermal.copper_J_per_K), pointer + "/thermal/winding_J_per_K",
                            base::exact_text(thermal.winding_J_per_K)));
  }
  const Motor& motor = actuator.motor;
  if (motor.winding_fault_C && *motor.winding_fault_C < motor.winding_class_C) {
    context.add(pointer + "/motor/winding_fault_C",
                fmt::format("{} °C must not be below {} ({} °C)", base::exact_text(*motor.winding_fault_C),
                            pointer + "/motor/winding_class_C", base::exact_text(motor.winding_class_C)));
  }
  if (const auto* curve = std::get_if<PtcCurve>(&actuator.ptc.curve)) {
    check_curve(*curve, pointer + "/ptc/curve", context);
  }
}

void check_wire(const Wire& wire, const std::string& pointer, ReadContext& context) {
  const double conductor = std::sqrt(4 * wire.area / 3.14159265358979323846);
  if (wire.outside <= conductor) {
    context.add(pointer + "/outside_mm",
                fmt::format("{} mm must be above the diameter of the conductor ({} mm)",
                            base::exact_text(to_file_unit(wire.outside, 1e-3)),
                            base::significant(conductor * 1e3)));
  }
  if (wire.short_time_C < wire.class_C) {
    context.add(pointer + "/short_time_C",
                fmt::format("{} °C must not be below {} ({} °C)", base::exact_text(wire.short_time_C),
                            pointer + "/class_C", base::exact_text(wire.class_C)));
  }
}

void add_longer(double time, double before, const std::string& pointer, ReadContext& context) {
  context.add(pointer, fmt::format("{} s must not be longer than at a smaller multiple ({} s)", base::exact_text(time),
                                   base::exact_text(before)));
}

void check_family(const FuseFamily& family, const std::string& pointer, ReadContext& context) {
  const std::size_t count = family.multiples.size();
  bool good = check_rising(family.multiples, "", pointer + "/multiples", context);
  good = check_same_length(family.min_s.size(), count, pointer + "/min_s", "multiples", context) && good;
  good = check_same_length(family.max_s.size(), count, pointer + "/max_s", "multiples", context) && good;
  if (family.derating) {
    check_same_length(family.derating->factor.size(), family.derating->T_C.size(), pointer + "/derating/factor",
                      "T_C", context);
    check_rising(family.derating->T_C, " °C", pointer + "/derating/T_C", context);
  }
  if (!good) return;
  bool opens_late = false, opens_early = false, max_seen = false;
  std::optional<double> last_min, last_max;
  for (std::size_t k = 0; k < count; ++k) {
    const auto& shortest = family.min_s[k];
    const auto& longest = family.max_s[k];
    opens_early = opens_early || (shortest && family.multiples[k] > 1.1);
    opens_late = opens_late || longest.has_value();
    if (shortest && longest && *shortest > *longest) {
      context.add(pointer_to(pointer + "/min_s", k),
                  fmt::format("{} s must not be above {} ({} s)", base::exact_text(*shortest),
                              pointer_to(pointer + "/max_s", k), base::exact_text(*longest)));
    }
    if (shortest && last_min && *shortest > *last_min) {
      add_longer(*shortest, *last_min, pointer_to(pointer + "/min_s", k), context);
    }
    if (longest && last_max && *longest > *last_max) {
      add_longer(*longest, *last_max, pointer_to(pointer + "/max_s", k), context);
    }
    if (!longest && max_seen) {
      context.add(pointer_to(pointer + "/max_s", k), "must not be null where a smaller multiple has a time");
    }
    max_seen = max_seen || longest.has_value();
    if (shortest) last_min = shortest;
    if (longest) last_max = longest;
  }
  if (!opens_early) context.add(pointer + "/min_s", "needs at least one time at a multiple above 1.1");
  if (!opens_late) context.add(pointer + "/max_s", "needs at least one time");
}

}  // namespace

void check_part(const Part& part, const std::string& pointer, ReadContext& context) {
  if (const auto* actuator = std::get_if<Actuator>(&part.body)) check_actuator(*actuator, pointer, context);
  if (const auto* curve = std::get_if<PtcCurve>(&part.body)) check_curve(*curve, pointer, context);
  if (const auto* wire = std::get_if<Wire>(&part.body)) check_wire(*wire, pointer, context);
  if (const auto* family = std::get_if<FuseFamily>(&part.body)) check_family(*family, pointer, context);
}

}  // namespace latchwright::model
