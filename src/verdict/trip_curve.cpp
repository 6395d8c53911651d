// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/trip_curve.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <optional>

#include "base/failure.h"
#include "sim/stall.h"

namespace latchwright::verdict {

namespace {

/// Simulated trip times of one door by current, kept in the order of currents.
class TripSweep {
 public:
  TripSweep(const sim::Circuit& door, const base::Progress& progress) : circuit_(door), progress_(progress) {
    const sim::DoorCircuit& only = door.doors[0];
    const double T = door.at.ambient_C;
    ohms_ = door.shared_ohm + only.branch_ohm + only.motor.winding_ohm(T) + only.ptc.resistance(T).value;
    other_drop_V_ = door.at.voltage_V - door.source_V;
  }

  /// Whether the thermistor trips within the hour at this current at once (A); keeps the time.
  bool trips(double current_A) {
    if (progress_.cancelled()) throw base::Cancelled();
    circuit_.source_V = current_A * ohms_ + circuit_.doors[0].motor.brush_drop;
    circuit_.at.voltage_V = circuit_.source_V + other_drop_V_;
    base::NoProgress quiet;
    const auto trip = sim::simulate_stall(circuit_, window_to_s, {}, quiet)[0].trip_time_s;
    if (trip) found_[current_A] = *trip;
    return trip.has_value();
  }

  std::map<double, double>& found() { return found_; }

 private:
  sim::Circuit circuit_;
  const base::Progress& progress_;
  double ohms_;
  double other_drop_V_;
  std::map<double, double> found_;  // A -> s
};

/// Halves between a current that trips and one that does not until the times stand still; every trip on the
/// way becomes a point, so that the curve is dense where it is steep. Returns the last current that trips.
double close_in(TripSweep& sweep, double trips_A, double not_A) {
  constexpr double still = 1e-5;
  double last_s = sweep.found().at(trips_A);
  int unmoved = 0;
  while (std::abs(trips_A - not_A) > 1e-12 * trips_A && unmoved < 3) {
    const double middle = std::sqrt(trips_A * not_A);
    if (!sweep.trips(middle)) {
      not_A = middle;
      continue;
    }
    trips_A = middle;
    const double now_s = sweep.found().at(middle);
    unmoved = std::abs(now_s - last_s) < still * last_s ? unmoved + 1 : 0;
    last_s = now_s;
  }
  return trips_A;
}

/// Puts points between neighbours whose times lie far apart.
void fill_gaps(TripSweep& sweep) {
  constexpr double widest = 0.2;  // of the logarithm of time
  constexpr int rounds = 4;
  for (int round = 0; round < rounds; ++round) {
    std::vector<double> missing;
    const auto& found = sweep.found();
    for (auto right = found.begin(), left = right; right != found.end(); left = right++) {
      if (left == right) continue;
      const double step = std::log(right->first / left->first);
      if (std::abs(std::log(left->second / right->second)) > widest && step > 1e-9) {
        missing.push_back(std::sqrt(left->first * right->first));
      }
    }
    if (missing.empty()) return;
    for (const double amps : missing) sweep.trips(amps);
  }
}

}  // namespace

Series trace_trip_curve(std::string name, const sim::Circuit& door, double most_A, double known_A,
                        const base::Progress& progress) {
  base::require(door.doors.size() == 1, "a trip curve is of one door");
  if (most_A <= 0) return {std::move(name), {}, {}};
  // From a hundredth of the largest current: no thermistor trips on the heat of that, a ten-thousandth.
  constexpr double span = 100;
  constexpr int steps = 32;
  TripSweep sweep(door, progress);
  std::optional<double> first_A, before_A;
  for (int k = 0; k <= steps; ++k) {
    const double amps = k == steps ? most_A : most_A * std::pow(span, static_cast<double>(k) / steps - 1);
    if (sweep.trips(amps)) {
      if (!first_A) first_A = amps;
      continue;
    }
    if (!first_A) {
      before_A = amps;
      continue;
    }
    // Above, the copper halves the current before the thermistor can: the curve ends here.
    close_in(sweep, std::prev(sweep.found().end())->first, amps);
    break;
  }
  if (!first_A) return {std::move(name), {}, {}};
  const double left_A = before_A ? close_in(sweep, *first_A, *before_A) : *first_A;
  if (known_A > left_A && known_A < sweep.found().rbegin()->first) sweep.trips(known_A);
  fill_gaps(sweep);

  std::vector<CurvePoint> points;
  for (const auto& [amps, time] : sweep.found()) {
    // Simulated times agree to some 1e-4: of points that near only one stays, and the line never rises.
    constexpr double apart = 1.002;
    if (amps == known_A) {
      while (points.size() > 1 && points.back().time_s < apart * time) points.pop_back();
    } else if (!points.empty() && points.back().time_s < apart * time) {
      continue;
    }
    points.push_back({amps, time});
  }
  // The hour is a border of the picture. Where the left end has come near it, it stands on it; where
  // simulated currents can no longer tell a late trip from none, the line goes up to it upright.
  constexpr double near_border = 1e-3;
  if (points.front().time_s > (1 - near_border) * window_to_s) {
    points.front().time_s = window_to_s;
  } else if (before_A) {
    points.insert(points.begin(), {points.front().current_A, window_to_s});
  }
  return draw_corners(std::move(name), points);
}

}  // namespace latchwright::verdict
