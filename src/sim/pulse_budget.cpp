// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "base/failure.h"
#include "sim/pulse.h"

// What a pulse may take, and what is said when it takes more (docs/model.md section 9).
namespace latchwright::sim {

namespace {

/// The figure that keeps steps short, in a file's unit.
std::string figure_to_blame(const DoorCircuit& door, DriveStep::Limit limit) {
  switch (limit) {
    case DriveStep::Limit::turning:
      return fmt::format("its motor swings in no time (inductance_mH {:.4g}, inertia_gcm2 {:.4g})",
                         door.motor.inductance * 1e3, door.motor.inertia * 1e7);
    case DriveStep::Limit::braking:
      return fmt::format("its motor is braked in no time (inertia_gcm2 {:.4g}, stop_damping_Ns_per_m {:.4g})",
                         door.motor.inertia * 1e7, door.stop_damping);
    case DriveStep::Limit::load:
      return fmt::format("the load on its motor changes in no time (inertia_gcm2 {:.4g})",
                         door.motor.inertia * 1e7);
    case DriveStep::Limit::heat:
      return "a part of it heats and cools in no time (its heat capacities in thermal and ptc)";
    case DriveStep::Limit::resistance:
      break;
  }
  return fmt::format("its thermistor heats and cools in no time (heat_J_per_K {:.4g} in ptc)",
                     door.heat.capacity(physics::ptc));
}

}  // namespace

void PulseEngine::count_step(double t) {
  if (++pulse_count_ > budget_.pulse_steps) give_up_over_budget(t, budget_.pulse_steps, "a pulse");
  if (++study_count_ > budget_.study_steps) give_up_over_budget(t, budget_.study_steps, "a study");
}

void PulseEngine::give_up_over_budget(double t, std::size_t most, const char* of) const {
  std::size_t door = 0, limit = 0;
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    for (std::size_t n = 0; n < DriveStep::limits; ++n) {
      if (blamed_[k][n] > blamed_[door][limit]) {
        door = k;
        limit = n;
      }
    }
  }
  throw base::BudgetError(fmt::format(
      "the study is given up at t = {:.6g} s of a pulse after {} steps, the most that {} may take; "
      "{} most often keeps them short: {}",
      t, most, of, circuit_.doors[door].name,
      figure_to_blame(circuit_.doors[door], static_cast<DriveStep::Limit>(limit))));
}

}  // namespace latchwright::sim
