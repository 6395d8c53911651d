// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <vector>

#include "bench/log_reduction.h"
#include "model/parts.h"
#include "physics/heat_network.h"
#include "physics/thermistor.h"

namespace latchwright::bench {

/// What a log of the held actuator can tell, in this order. The last two are the log's own.
enum HeldParameter : std::size_t {
  motor_ohm,  ///< ln of the ratio to the part's, as the next three
  ptc_ohm,
  ptc_heat,
  ptc_loss,
  winding_heat,    ///< of copper too, where the part has it apart
  curve_shift,     ///< K upward
  power_on,        ///< s, from the first sample with the power on: from then it is as if it stood
  power_again,     ///< s, of every later time it comes on: from the middle of the samples between
  held_parameters  ///< how many
};
inline constexpr std::size_t part_parameters = power_on;  ///< those that are the part's

using HeldValues = std::array<double, held_parameters>;

/// Current (without the clamp's zero) and case temperature at a log's bins, with derivatives.
struct HeldCurrents {
  std::vector<double> current_A, case_C;
  std::vector<HeldValues> current_slopes, case_slopes;  ///< empty where not asked for
};

/// A held actuator driven by the voltage that was measured (docs/model.md section 4 without motion or
/// inductance), from everything at ambient.
class HeldModel {
 public:
  HeldModel(const model::Actuator& like, const model::PtcCurve& curve, double ambient_C);

  HeldCurrents currents(const ReducedLog& log, const HeldValues& values, bool slopes) const;
  /// The part with these values, curve in place and shifted.
  model::Actuator part(const HeldValues& values) const;
  /// Across the leads with everything at ambient, ohm, and its derivatives.
  double cold_ohm(const HeldValues& values, HeldValues* slopes) const;
  double ambient_C() const { return ambient_C_; }
  const model::Actuator& like() const { return like_; }

 private:
  template <class T>
  friend class HeldRun;

  model::Actuator like_;
  model::PtcCurve curve_points_;
  physics::RatioCurve curve_;
  double ambient_C_;
};

}  // namespace latchwright::bench
