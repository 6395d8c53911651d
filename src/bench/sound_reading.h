// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "base/progress.h"
#include "sim/rest.h"
#include "sim/stall.h"

// What one actuator reads on the bench, by the equations of docs/model.md sections 1 to 5.
namespace latchwright::bench {

inline constexpr double minute_s = 60;
inline constexpr double stall_limit_s = 600;  ///< as a stall study's
inline constexpr double past_trip_s = 10;     ///< power stays on so long past the trip before it cools
inline constexpr double pulse_s = 0.5;        ///< of the throw that tells whether it moves again

struct SoundReading {
  sim::Circuit circuit;           ///< by itself, nothing on the rod
  std::optional<sim::Rest> rest;  ///< of that circuit
  double cold_ohm = 0;            ///< across its leads, at ambient
  double at_once_A = 0;           ///< held, cold
  std::optional<double> trip_s;
  std::optional<double> class_passed_s;  ///< held, until its winding is past its class
  std::optional<double> fault_passed_s;  ///< held, until it is past what a fault permits
  sim::LimitedBy limited_by = sim::LimitedBy::nothing;
  double minute_A = 0;            ///< held for 60 s
  double end_A = 0;               ///< held for stall_limit_s
  std::vector<double> held_A;     ///< at held_times()
  double force_N = 0;             ///< held, cold
  std::optional<double> throw_s;  ///< with nothing on the rod
  std::optional<double> free_A;   ///< least current of that throw after its first rush

  // Held until past_trip_s after the trip, then power off; none where it does not trip.
  std::vector<double> tripped_C;  ///< node temperatures at power off
  std::optional<double> tripped_ohm;
  std::optional<double> moves_s;   ///< rest until a loaded throw completes; none also where no rest helps
  std::optional<double> cooled_s;  ///< rest until the leads stay within 10 % of cold_ohm
  bool beyond_table = false;       ///< the thermistor was then past the end of its curve

  /// ohm across its leads after so long a rest from tripped_C.
  double leads_after(double rest_s) const;
};

/// s from power on, growing by a share each from 10 ms to stall_limit_s; 60 s is among them.
const std::vector<double>& held_times();

/// load_N: steady, on the rod of the throw that tells whether it moves again. Throws base::Cancelled.
SoundReading read_sound(const model::Actuator& actuator, const model::PtcCurve& curve,
                        const sim::Condition& at, double load_N, base::Progress& progress);

/// N at the rod, held, with everything at ambient.
double cold_force(const model::Actuator& actuator, const model::PtcCurve& curve, const sim::Condition& at);

}  // namespace latchwright::bench
