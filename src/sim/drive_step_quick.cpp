// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include "sim/drive_step.h"

// docs/model.md (4.5).
// Heat of doors with a node that follows its heat within the step, as a thermistor of some millijoules per
// kelvin does. The network is solved exactly, under heat that has the step's own mean and its value at the
// end; what the true course of heat has beside this straight line is the doubt.
namespace latchwright::sim {

using physics::heat_nodes;

const HeatModes& DriveStep::modes(std::size_t k) const {
  if (!modes_[k]) modes_[k].emplace(circuit_.doors[k].heat);
  return *modes_[k];
}

void DriveStep::heat_at(std::size_t k, const double* s, const DoorPoint& p, double* watts) const {
  const DoorCircuit& door = circuit_.doors[k];
  const LinearDoor& l = linear_[k];
  const double i = l.conducting ? s[slot_current] : 0, w = l.moving ? std::max(0.0, s[slot_speed]) : 0;
  watts[physics::winding] = p.ohms.winding * i * i;
  watts[physics::core] = 0;
  watts[physics::motor_case] =
      door.motor.brush_drop * i + (first_.doors[k].friction + door.motor.viscous * w) * w;
  watts[physics::ptc] = p.ohms.ptc * i * i;
  watts[physics::housing] =
      basis_[k].lever > 0 ? basis_[k].gear_loss * std::fabs(p.force) * door.rod_per_rad * w : 0.0;
}

void DriveStep::add_quick_heat(std::size_t k, const double* mean) {
  const physics::HeatNetwork& heat = circuit_.doors[k].heat;
  const std::size_t first = k * slots;
  double at_begin[heat_nodes], at_end[heat_nodes];
  heat_at(k, x_->data() + first, first_.doors[k], at_begin);
  heat_at(k, end_.data() + first, last_.doors[k], at_end);
  QuickHeat& put_in = heat_[k];
  for (std::size_t n = 0; n < heat_nodes; ++n) {
    put_in.watts[n] = 2 * mean[n] - at_end[n];
    put_in.watts_per_s[n] = 2 * (at_end[n] - mean[n]) / h_;
    const auto node = static_cast<physics::HeatNode>(n);
    if (heat.capacity(node) <= 0) continue;
    // Only what lies about the node's own time constant before the end is felt there.
    const double lengths = h_ / node_s_[k][n];
    const double felt_s = h_ * lengths / ((1 + lengths) * (1 + lengths));
    const double off_K =
        std::fabs(mean[n] - 0.5 * (at_begin[n] + at_end[n])) * heat.per_capacity(node) * felt_s;
    if (off_K > heat_off_K_) {
      heat_off_K_ = off_K;
      heat_off_door_ = k;
    }
  }
  modes(k).heated(x_->data() + first + slot_temperature, put_in.watts.data(), put_in.watts_per_s.data(),
                  circuit_.at.ambient_C, h_, end_.data() + first + slot_temperature);
}

double DriveStep::quick_node_s() const {
  double quickest = unlimited;
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    if (heat_[k].quick) quickest = std::min(quickest, quick_heat_s_[k]);
  }
  return quickest;
}

void DriveStep::rein_rates(std::size_t k) {
  // Fritsch and Carlson's bound: a cubic whose end rates are at most three times its mean rate, and of its
  // sign, stays between its ends.
  for (std::size_t n = 0; n < heat_nodes; ++n) {
    const std::size_t at = k * slots + slot_temperature + n;
    const double most = 3 * (end_[at] - (*x_)[at]) / h_;
    const auto within = [most](double rate) {
      return std::clamp(rate, std::min(0.0, most), std::max(0.0, most));
    };
    heat_[k].first_rate[n] = within(first_.doors[k].rate[slot_temperature + n]);
    heat_[k].last_rate[n] = within(last_.doors[k].rate[slot_temperature + n]);
  }
}

DriveStep::HeatRates DriveStep::heat_rates(std::size_t k) const {
  if (reined(k)) return {heat_[k].first_rate.data(), heat_[k].last_rate.data()};
  return {first_.doors[k].rate.data() + slot_temperature, last_.doors[k].rate.data() + slot_temperature};
}

void DriveStep::finish() {
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    if (reined(k)) rein_rates(k);
  }
}

bool DriveStep::reined(std::size_t k) const {
  // The length of the shortest steps is lost where it is the difference of two times.
  constexpr double too_short = 1e-9;  // s
  return heat_[k].quick || h_ < too_short;
}

}  // namespace latchwright::sim
