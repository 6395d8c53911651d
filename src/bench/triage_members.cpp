// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/triage_members.h"

#include <cmath>
#include <string>
#include <utility>

#include "model/tolerance.h"

namespace latchwright::bench {

namespace {

/// What scatters where the part does not say, and readings tell: the rest of the usual ones moves none of
/// them much.
constexpr const char* told_by_readings[] = {"/motor/resistance_ohm", "/ptc/heat_J_per_K",
                                            "/ptc/to_housing_mW_per_K", "/ptc/to_case_mW_per_K",
                                            "/thermal/housing_to_ambient_K_per_W"};

/// The thermistor's, and what the part states, by variants; the usual ones beside.
std::vector<std::pair<std::string, double>> spreads_of(const model::Actuator& actuator) {
  auto spreads = model::tolerances_of(actuator);
  for (const char* pointer : told_by_readings) {
    if (!actuator.tolerance.contains(pointer)) {
      spreads.emplace_back(pointer, model::usual_tolerance(pointer));
    }
  }
  return spreads;
}

/// docs/model.md (11.2).
/// A sequence that fills the unit cube evenly: multiples of the square root of a prime for each axis, whole
/// part dropped (Weyl). The same numbers in every run.
class EvenPoints {
 public:
  explicit EvenPoints(std::size_t axes) {
    for (int candidate = 2; roots_.size() < axes; ++candidate) {
      bool prime = true;
      for (int d = 2; d * d <= candidate; ++d) prime = prime && candidate % d != 0;
      if (prime) roots_.push_back(std::sqrt(candidate));
    }
  }
  double at(int point, std::size_t axis) const {
    const double product = 0.5 + (point + 1) * roots_[axis];
    return product - std::floor(product);
  }

 private:
  std::vector<double> roots_;
};

double between(double low, double high, double share) { return low + (high - low) * share; }

}  // namespace

double nominal_voltage(const model::Actuator& actuator) {
  constexpr double ordinary_stall_A = 4.5;  // 4 to 6 A at stall in 12 V vehicles: common practice, no source
  double best = 12.6, nearest = 1e300;
  for (const double volts : {12.6, 25.2, 6.3}) {
    const double current =
        (volts - actuator.motor.brush_drop) / (actuator.motor.resistance + actuator.ptc.resistance);
    if (current <= 0) continue;
    const double off = std::fabs(std::log(current / ordinary_stall_A));
    if (off < nearest) {
      nearest = off;
      best = volts;
    }
  }
  return best;
}

std::vector<Member> make_members(const model::Actuator& actuator, const model::PtcCurve& curve,
                                 const Readings& readings, double use_V, int count) {
  enum Axis : std::size_t { meter, film, past, held, supply, kind, size, fault, ambient, use, rest, axes };
  constexpr double least_held_s = 1, most_held_s = 30;
  const auto spreads = spreads_of(actuator);
  const EvenPoints points(axes + spreads.size());
  std::vector<Member> members;
  for (int k = 0; k < count; ++k) {
    model::Actuator own = actuator;
    for (std::size_t s = 0; s < spreads.size(); ++s) {
      own =
          model::with_scaled(own, spreads[s].first, 1 + spreads[s].second * (2 * points.at(k, axes + s) - 1));
    }
    Member member;
    sim::Condition at{.voltage_V = use_V, .ambient_C = 0};
    at.ambient_C =
        readings.ambient_C.value_or(between(least_ambient_C, most_ambient_C, points.at(k, ambient)));
    // It may have tripped in its life, long ago or just now.
    at.ptc_scale = between(1, own.ptc.after_trip_ratio, points.at(k, past));
    member.circuit = sim::make_bench_circuit(own, curve, at);
    member.meter_ohm =
        readings.meter_ohm.value_or(between(least_meter_ohm, most_meter_ohm, points.at(k, meter)));
    member.at_film = points.at(k, film);
    member.held_s = between(least_held_s, most_held_s, points.at(k, held));
    member.winding_ohm = member.door().motor.winding_ohm(at.ambient_C);
    member.thermistor_ohm = member.door().ptc.resistance(at.ambient_C).value;
    member.at_supply = points.at(k, supply);
    member.at_kind = points.at(k, kind);
    member.at_size = points.at(k, size);
    member.at_fault = points.at(k, fault);
    member.at_use = points.at(k, use);
    member.at_rest = points.at(k, rest);
    physics::Temperatures cold;
    cold.fill(at.ambient_C);
    model::RodForce load;
    load.peak =
        0.5 * sim::standstill_force(member.door(), sim::ambient_stall_currents(member.circuit).front(), cold);
    member.loaded = sim::make_bench_circuit(own, curve, at, load);
    members.push_back(std::move(member));
  }
  return members;
}

}  // namespace latchwright::bench
