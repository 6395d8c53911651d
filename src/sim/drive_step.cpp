// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/drive_step.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "sim/cubic.h"

namespace latchwright::sim {

using physics::heat_nodes;

namespace {

// What a step may be wrong by. The last push is a bound of the error that is left, which is of the next
// higher order.
constexpr double permitted_push = 3e-4;  // of the supply's voltage
constexpr double lone_turn = 3;  // rad: a lone door's response is exact, but an event must not hide in a turn
constexpr double negligible_push = 2e-6;  // of the supply, or of the torque that it makes

/// The time constant of the node that follows its own heat most quickly, s.
double quickest_node_s(const physics::HeatNetwork& heat) {
  double rate = 0;
  for (std::size_t k = 0; k < heat.size(); ++k) {
    const auto node = static_cast<physics::HeatNode>(k);
    double out = node == physics::housing ? heat.housing_to_ambient() : 0;
    for (std::size_t n = 0; n < heat.size(); ++n) out += heat.link(node, static_cast<physics::HeatNode>(n));
    rate = std::max(rate, out * heat.per_capacity(node));
  }
  return 1 / rate;
}

}  // namespace

DriveStep::DriveStep(const Circuit& circuit, const Drive& drive)
    : circuit_(circuit), drive_(drive), quick_heat_s_(1e9), end_(circuit.doors.size() * slots) {
  // Within so much of it heat has a nearly straight course.
  constexpr double share = 0.2;
  for (const DoorCircuit& door : circuit.doors) {
    quick_heat_s_ = std::min(quick_heat_s_, share * quickest_node_s(door.heat));
  }
}

void DriveStep::begin(const State& x, double t) {
  // Resistances go on from where the last step ended.
  const bool goes_on = t == t_ + h_;
  if (goes_on) {
    for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
      first_.doors[k].ohms =
          last_.doors[k].ohms.at(circuit_.doors[k], x.data() + k * slots + slot_temperature);
    }
  }
  x_ = &x;
  t_ = t;
  h_ = 0;
  drive_.at(x, first_, goes_on);
  time_constant_ = rotor_s_ = 1;
  double fastest = 1e-9;  // 1/s²: of oscillation or growth
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    const DoorCircuit& door = circuit_.doors[k];
    const DoorMode& mode = drive_.modes()[k];
    const DoorPoint& p = first_.doors[k];
    const double* s = x.data() + k * slots;
    Basis& basis = basis_[k];
    LinearDoor& linear = linear_[k];
    Push& push = pushes_[k];
    basis = {};
    linear = {.conducting = mode.conducting,
              .moving = mode.motion == Motion::moving,
              .inductance = door.motor.inductance,
              .resistance = p.ohms.path,
              .torque_constant = p.torque_constant,
              .inertia = door.motor.inertia};
    push = {};
    if (linear.moving) {
      linear.damping = door.motor.viscous;
      if (mode.taken_up) {
        const double ratio = mode.helping ? door.efficiency : 1 / door.efficiency;
        basis.lever = door.rod_per_rad * ratio;
        basis.gear_loss = std::fabs(ratio - 1);
        const auto piece = drive_.load_piece(s, k);
        basis.curved = piece.curved;
        linear.stiffness = basis.lever * piece.slope * door.rod_per_rad;
        if (mode.arrived) {
          linear.stiffness += basis.lever * door.stop_stiffness * door.rod_per_rad;
          linear.damping += basis.lever * door.stop_damping * door.rod_per_rad;
        }
      }
      push.torque[0] = door.motor.inertia * p.rate[slot_speed];
      push.speed = s[slot_speed];
      const double square = p.torque_constant * p.torque_constant;
      rotor_s_ = std::min(rotor_s_, door.motor.inertia * p.ohms.path / square);
      // Rotor and inductance swing against each other where L/R is long.
      const double swing =
          p.torque_constant * p.torque_constant / (door.motor.inertia * door.motor.inductance);
      const double decay = 0.5 * p.ohms.path / door.motor.inductance;
      fastest = std::max(
          fastest, std::fabs(linear.stiffness) / door.motor.inertia + std::max(0.0, swing - decay * decay));
    }
    if (linear.conducting) {
      time_constant_ = std::min(time_constant_, door.motor.inductance / p.ohms.path);
      push.volts[0] = door.motor.inductance * p.rate[slot_current];
      const double* rate = p.rate.data() + slot_temperature;
      push.volts[1] = -s[slot_current] * (door.motor.winding_ohm_per_K() * rate[physics::winding] +
                                          p.ohms.ptc_per_K * rate[physics::ptc]);
    }
  }
  longest_ = (circuit_.doors.size() == 1 ? lone_turn : LinearResponse::largest_turn) / std::sqrt(fastest);
  longest_ = std::min(longest_, quick_heat_s_);
  if (circuit_.doors.size() == 1) {
    LinearDoor lone = linear_[0];
    lone.resistance += circuit_.shared_ohm;
    lone_.prepare(lone);
  }
}

void DriveStep::expect(const Drift& drift) {
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    if (linear_[k].conducting) pushes_[k].volts[2] = drift[k].volts;
    if (linear_[k].moving) pushes_[k].torque[2] = drift[k].torque;
  }
}

void DriveStep::learn(Drift& drift) const {
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    drift[k] = {pushes_[k].volts[2], pushes_[k].torque[2]};
  }
}

void DriveStep::forget_pushes() {
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) pushes_[k].volts[2] = pushes_[k].torque[2] = 0;
}

void DriveStep::write_fast(const Increment* increments, State& x) const {
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    const double* from = x_->data() + k * slots;
    double* to = x.data() + k * slots;
    to[slot_current] = from[slot_current] + increments[k].current;
    to[slot_speed] = from[slot_speed] + increments[k].speed;
    to[slot_angle] = from[slot_angle] + increments[k].angle;
  }
}

double DriveStep::current_rate(std::size_t k, double t, const Increment& d, double sum) const {
  const LinearDoor& l = linear_[k];
  if (!l.conducting) return 0;
  const auto& push = pushes_[k].volts;
  return (push[0] + t * (push[1] + t * push[2]) - l.resistance * d.current - circuit_.shared_ohm * sum -
          l.torque_constant * d.speed) /
         l.inductance;
}

double DriveStep::speed_rate(std::size_t k, double t, const Increment& d) const {
  const LinearDoor& l = linear_[k];
  if (!l.moving) return 0;
  const auto& push = pushes_[k].torque;
  return (push[0] + t * (push[1] + t * push[2]) + l.torque_constant * d.current - l.damping * d.speed -
          l.stiffness * d.angle) /
         l.inertia;
}

double DriveStep::current_bend(std::size_t k, double t, const double* rate, double sum_rate) const {
  const LinearDoor& l = linear_[k];
  if (!l.conducting) return 0;
  const auto& push = pushes_[k].volts;
  return (push[1] + 2 * t * push[2] - l.resistance * rate[slot_current] - circuit_.shared_ohm * sum_rate -
          l.torque_constant * rate[slot_speed]) /
         l.inductance;
}

double DriveStep::speed_bend(std::size_t k, double t, const double* rate) const {
  const LinearDoor& l = linear_[k];
  if (!l.moving) return 0;
  const auto& push = pushes_[k].torque;
  return (push[1] + 2 * t * push[2] + l.torque_constant * rate[slot_current] - l.damping * rate[slot_speed] -
          l.stiffness * rate[slot_angle]) /
         l.inertia;
}

void DriveStep::respond(double h, const Push* pushes, Increment* out) const {
  if (circuit_.doors.size() == 1) {
    lone_.solve(pushes[0], h, out[0]);
    return;
  }
  shared_.prepare(linear_.data(), circuit_.doors.size(), circuit_.shared_ohm, h);
  shared_.solve(pushes, out);
}

void DriveStep::take_linear_rates() {
  double sum = 0;
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) sum += increments_[k].current;
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    linear_rate_[k] = {current_rate(k, h_, increments_[k], sum), speed_rate(k, h_, increments_[k])};
  }
}

void DriveStep::look(double h) {
  h_ = h;
  const std::size_t count = circuit_.doors.size();
  respond(h, pushes_.data(), increments_.data());
  write_fast(increments_.data(), end_);
  take_linear_rates();
  double sum = 0;
  for (std::size_t k = 0; k < count; ++k) sum += increments_[k].current;
  last_.node = first_.node - circuit_.shared_ohm * sum;
  for (std::size_t k = 0; k < count; ++k) {
    const LinearDoor& l = linear_[k];
    const Increment& d = increments_[k];
    const DoorPoint& f = first_.doors[k];
    DoorPoint& p = last_.doors[k];
    p.torque_constant = f.torque_constant;
    p.holding = f.holding;
    p.rate[slot_current] = linear_rate_[k].current;
    p.rate[slot_speed] = linear_rate_[k].speed;
    p.rate[slot_angle] = l.moving ? end_[k * slots + slot_speed] : 0;
    p.force = f.force;
    if (basis_[k].lever > 0) {
      const DoorCircuit& door = circuit_.doors[k];
      p.force += (l.stiffness * d.angle + (l.damping - door.motor.viscous) * d.speed) / basis_[k].lever;
    }
  }
}

bool DriveStep::correct() {
  // True rates at the end against those of the linear circuit: what is missing has grown with the square of
  // time.
  const std::size_t count = circuit_.doors.size();
  struct Miss {
    double volts, torque;
  };
  std::array<Miss, most_doors> miss;
  double largest = 0;  // V, or what would make the torque
  for (std::size_t k = 0; k < count; ++k) {
    const LinearDoor& l = linear_[k];
    const DoorPoint& p = last_.doors[k];
    miss[k] = {l.inductance * (p.rate[slot_current] - linear_rate_[k].current),
               l.inertia * (p.rate[slot_speed] - linear_rate_[k].speed)};
    largest = std::max(
        {largest, std::fabs(miss[k].volts), std::fabs(miss[k].torque) * l.resistance / l.torque_constant});
  }
  if (largest < negligible_push * circuit_.source_V) return false;
  const double per_square = 1 / (h_ * h_);
  std::array<Push, most_doors> missing;
  for (std::size_t k = 0; k < count; ++k) {
    missing[k].volts[2] = miss[k].volts * per_square;
    missing[k].torque[2] = miss[k].torque * per_square;
  }
  std::array<Increment, most_doors> more;
  respond(h_, missing.data(), more.data());
  for (std::size_t k = 0; k < count; ++k) {
    pushes_[k].volts[2] += missing[k].volts[2];
    pushes_[k].torque[2] += missing[k].torque[2];
    increments_[k] += more[k];
  }
  take_linear_rates();
  write_fast(increments_.data(), end_);
  return true;
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
  double worst = 0;
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    const LinearDoor& l = linear_[k];
    double as_volts = 0;
    if (l.conducting) {
      const double current = std::max((*x_)[k * slots + slot_current], charge_[k] / h_);
      const double drift = (last_.doors[k].ohms.path - first_.doors[k].ohms.path) * current;
      as_volts =
          std::max(h_ * h_ * std::fabs(pushes_[k].volts[2]), std::fabs(drift + h_ * pushes_[k].volts[1]));
    }
    if (l.moving) {
      const double torque =
          std::max(h_ * h_ * std::fabs(pushes_[k].torque[2]), 4 * std::fabs(bend_of_load(k)));
      // A torque needs the rotor's time constant J R / K² to make its full speed.
      const double square = l.torque_constant * l.torque_constant;
      const double reached = std::min(1.0, h_ * square / (3 * l.inertia * l.resistance));
      as_volts += reached * torque * l.resistance / l.torque_constant;
      // A throw that hardly gets on feels every error many times over.
      const double share_of_free = end_[k * slots + slot_speed] * l.torque_constant / circuit_.source_V;
      if (!drive_.modes()[k].arrived) as_volts /= std::clamp(4 * share_of_free, 0.03, 1.0);
    }
    worst = std::max(worst, as_volts);
  }
  return worst / (circuit_.source_V * permitted_push);
}

double DriveStep::complete() {
  const std::size_t count = circuit_.doors.size();
  for (std::size_t k = 0; k < count; ++k) {
    // First guess: as the rates at the begin have it.
    const DoorPoint& p = first_.doors[k];
    const double* rate = p.rate.data() + slot_temperature;
    last_.doors[k].ohms = p.ohms;
    last_.doors[k].ohms.winding += h_ * circuit_.doors[k].motor.winding_ohm_per_K() * rate[physics::winding];
    last_.doors[k].ohms.ptc += h_ * p.ohms.ptc_per_K * rate[physics::ptc];
  }
  const double permitted = permitted_joules();
  double doubt = integrate(permitted);
  add_heat();
  drive_.at(end_, last_);
  corrected_ = correct();
  if (corrected_) {
    doubt = integrate(permitted);
    add_heat();
  }
  double sum = 0;  // of anything that is no number
  for (const double value : end_) sum += value;
  return std::isfinite(sum) ? std::max(error(), doubt / permitted) : std::numeric_limits<double>::infinity();
}

void DriveStep::land(double seconds) {
  const std::size_t count = circuit_.doors.size();
  double sum_rate = 0;
  for (std::size_t k = 0; k < count; ++k) sum_rate += last_.doors[k].rate[slot_current];
  for (std::size_t k = 0; k < count; ++k) {
    const LinearDoor& l = linear_[k];
    std::array<double, slots>& rate = last_.doors[k].rate;
    double* s = end_.data() + k * slots;
    const double bend_i = current_bend(k, h_, rate.data(), sum_rate);
    const double bend_w = speed_bend(k, h_, rate.data());
    s[slot_angle] += seconds * (rate[slot_angle] + seconds * (rate[slot_speed] / 2 + seconds * bend_w / 6));
    s[slot_current] += seconds * (rate[slot_current] + seconds * bend_i / 2);
    s[slot_speed] += seconds * (rate[slot_speed] + seconds * bend_w / 2);
    for (std::size_t n = slot_temperature; n < slots; ++n) s[n] += seconds * rate[n];
    rate[slot_current] += seconds * bend_i;
    rate[slot_speed] += seconds * bend_w;
    if (l.moving) rate[slot_angle] = s[slot_speed];
  }
  h_ += seconds;
}

void DriveStep::write_temperatures(double t, State& x) const {
  // The cubic through both ends and their rates.
  const double u = t / h_;
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    for (std::size_t n = slot_temperature; n < slots; ++n) {
      x[k * slots + n] = Cubic{(*x_)[k * slots + n], first_.doors[k].rate[n], end_[k * slots + n],
                               last_.doors[k].rate[n], h_}
                             .at(u);
    }
  }
}

void DriveStep::at(double t, State& x) const {
  if (t <= 0) {
    x = *x_;
  } else if (t >= h_) {
    x = end_;
  } else {
    x.resize(end_.size());
    std::array<Increment, most_doors> inside;
    respond(t, pushes_.data(), inside.data());
    write_fast(inside.data(), x);
    write_temperatures(t, x);
  }
}

void DriveStep::at(double t, State& x, State& rates) const {
  const std::size_t count = circuit_.doors.size();
  std::array<Increment, most_doors> inside{};
  if (t > 0) respond(std::min(t, h_), pushes_.data(), inside.data());
  x.resize(end_.size());
  rates.resize(end_.size());
  write_fast(inside.data(), x);
  write_temperatures(std::min(t, h_), x);
  double sum = 0;
  for (std::size_t k = 0; k < count; ++k) sum += inside[k].current;
  for (std::size_t k = 0; k < count; ++k) {
    double* rate = rates.data() + k * slots;
    rate[slot_current] = current_rate(k, t, inside[k], sum);
    rate[slot_speed] = speed_rate(k, t, inside[k]);
    rate[slot_angle] = linear_[k].moving ? x[k * slots + slot_speed] : 0;
  }
}

}  // namespace latchwright::sim
