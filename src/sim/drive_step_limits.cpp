// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include "sim/drive_step.h"

// How long a step of driven doors may be, and how wrong it is (docs/model.md section 3).
namespace latchwright::sim {

namespace {

// What a step may be wrong by. The last push is a bound of the error that is left, which is of the next
// higher order.
constexpr double permitted_push = 3e-4;  // of the supply's voltage
constexpr double lone_turn = 3;  // rad: a lone door's response is exact, but an event must not hide in a turn
constexpr double permitted_heat_K = 0.01;  // of nodes that follow their heat within the step
// What oscillates more quickly than this is looked at more closely, as the cheap bound leaves damping out.
constexpr double brief = 5e-3;             // s, of a step
constexpr double negligible_swing = 3e-5;  // of the supply: an oscillation that has died away
constexpr double small_against_way = 0.1;  // of the speed: so small an oscillation hides no halt

}  // namespace

double DriveStep::largest_turn() const {
  return circuit_.doors.size() == 1 ? lone_turn : LinearResponse::largest_turn;
}

double DriveStep::longest_by_turning(std::size_t k, double cheap) const {
  if (cheap > brief) return cheap;
  const LinearDoor& l = linear_[k];
  const bool lone = circuit_.doors.size() == 1;
  // The other doors only add to what damps a door.
  if (!lone) probe_.prepare(l);
  const LoneResponse::Turning turning = lone ? lone_.turning() : probe_.turning();
  double longest = turning.growth > 0 ? largest_turn() / turning.growth : unlimited;
  if (turning.swing <= 0) return longest;
  // An oscillation that has died away is no reason for short steps: the contour passes by what lies far
  // outside it, and no event hides in it.
  // As it passes through its middle only the second derivatives show it.
  const double* rate = first_.doors[k].rate.data();
  const double speed =
      std::max(std::fabs(rate[slot_speed]), std::fabs(speed_bend(k, 0, rate)) / turning.swing) /
      turning.swing;
  const double current = l.conducting ? std::fabs(rate[slot_current]) / turning.swing : 0;
  const double volts = current * (l.resistance + turning.swing * l.inductance) + l.torque_constant * speed;
  const bool died = volts <= negligible_swing * circuit_.source_V &&
                    speed <= small_against_way * (*x_)[k * slots + slot_speed];
  return died ? longest : std::min(longest, largest_turn() / turning.swing);
}

double DriveStep::longest_by_braking(std::size_t k) const {
  constexpr double time_constants = 3;
  const LinearDoor& l = linear_[k];
  if (!l.moving || l.damping <= 0) return unlimited;
  const double tau = l.inertia / l.damping;
  if (time_constants * tau > brief) return unlimited;
  // A rotor that damping brings to rest in no time: the work it does by that must not be passed over.
  const double speed = (*x_)[k * slots + slot_speed];
  const double change = std::fabs(first_.doors[k].rate[slot_speed]) * tau;
  const double joules = l.damping * tau * change * (change + 2 * speed);
  return joules > permitted_joules() ? time_constants * tau : unlimited;
}

double DriveStep::bend_of_load(std::size_t k) const {
  if (basis_[k].lever == 0 || !basis_[k].curved) return 0;
  const DoorCircuit& door = circuit_.doors[k];
  const double from = rod_travel(door, (*x_)[k * slots + slot_angle]);
  const double half = 0.5 * door.rod_per_rad * increments_[k].angle;
  const auto piece = door.load(drive_.unlocking()).piece(from);
  return basis_[k].lever *
         (door.load(drive_.unlocking()).force(from + half) - piece.force - piece.slope * half);
}

double DriveStep::error() const {
  // What the pushes come to at the end, as if a door's voltage were wrong by so much. They may be small there
  // by accident: what resistances drift by under the mean current, beyond what was expected from the begin
  // on, is seen as well, and a load's bend in the middle.
  double worst = 0;  // of the voltage at hand
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    const LinearDoor& l = linear_[k];
    double as_volts = 0, at_hand = circuit_.source_V;
    if (l.conducting) {
      // An inductance that drives its current on through a tripping thermistor makes voltages far above the
      // supply's, and what becomes of them is soon forgotten.
      constexpr double forgiven = 8;
      const double kick = l.resistance * (*x_)[k * slots + slot_current] - circuit_.source_V;
      at_hand += forgiven * std::max(0.0, kick);
      const double current = std::max((*x_)[k * slots + slot_current], charge_[k] / h_);
      const double drift = (last_.doors[k].ohms.path - first_.doors[k].ohms.path) * current;
      const double emf_rate = l.moving ? basis_[k].magnet_rate * (*x_)[k * slots + slot_speed] : 0.0;
      as_volts = std::max(h_ * h_ * std::fabs(pushes_[k].volts[2]),
                          std::fabs(drift + h_ * (pushes_[k].volts[1] + emf_rate)));
    }
    const double by_resistance = as_volts;
    double work = 0;  // J, of the rotor beside its own equation, as far as wires and not the motor feel it
    if (l.moving) {
      const double torque =
          std::max(h_ * h_ * std::fabs(pushes_[k].torque[2]), 4 * std::fabs(bend_of_load(k)));
      // A torque needs the rotor's time constant J R / K² to make its full speed.
      const double square = l.torque_constant * l.torque_constant;
      const double reached = std::min(1.0, h_ * square / (3 * l.inertia * l.resistance));
      const double wires = circuit_.shared_ohm + circuit_.doors[k].branch_ohm;
      if (l.conducting)
        work = torque * h_ * std::max((*x_)[k * slots + slot_speed], end_[k * slots + slot_speed]) * wires /
               (l.resistance + circuit_.shared_ohm);
      as_volts += reached * torque * l.resistance / l.torque_constant;
      // A throw that hardly gets on feels every error many times over.
      // Damping, where it is large, takes its part of the voltage that a speed needs.
      const double per_speed = l.torque_constant + l.resistance * l.damping / l.torque_constant;
      const double share_of_free = end_[k * slots + slot_speed] * per_speed / circuit_.source_V;
      if (!drive_.modes()[k].arrived)
        at_hand += circuit_.source_V * (std::clamp(4 * share_of_free, 0.03, 1.0) - 1);
    }
    // Over a long step little is much: the energy by which it does not follow its own equations.
    const double joules =
        as_volts * std::max((*x_)[k * slots + slot_current], end_[k * slots + slot_current]) * h_;
    const double off =
        std::max(as_volts / at_hand, permitted_push * std::max(joules, work) / (40 * permitted_joules()));
    if (off > worst) {
      worst = off;
      short_by_ = {k, as_volts > 2 * by_resistance ? Limit::load : Limit::resistance};
    }
  }
  const double by_heat = heat_off_K_ / permitted_heat_K;
  if (by_heat > worst / permitted_push) short_by_ = {heat_off_door_, Limit::heat};
  return std::max(worst / permitted_push, by_heat);
}

}  // namespace latchwright::sim
