// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/drive_step.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "sim/cubic.h"

namespace latchwright::sim {

using physics::heat_nodes;

namespace {

constexpr double negligible_push = 2e-6;  // of the supply, or of the torque that it makes

/// The time constant of a node by itself, s.
double node_s(const physics::HeatNetwork& heat, physics::HeatNode node) {
  double out = node == physics::housing ? heat.housing_to_ambient() : 0;
  for (std::size_t n = 0; n < heat.size(); ++n) out += heat.link(node, static_cast<physics::HeatNode>(n));
  return heat.capacity(node) / out;
}

}  // namespace

DriveStep::DriveStep(const Circuit& circuit, const Drive& drive)
    : circuit_(circuit), drive_(drive), modes_(circuit.doors.size()), end_(circuit.doors.size() * slots) {
  // Heat that a housing gives away is lost for good, so that its course is looked at more closely.
  constexpr double share = 0.2, share_of_housing = 0.01;
  for (std::size_t k = 0; k < circuit.doors.size(); ++k) {
    const physics::HeatNetwork& heat = circuit.doors[k].heat;
    quick_heat_s_[k] = unlimited;
    for (std::size_t n = 0; n < heat.size(); ++n) {
      node_s_[k][n] = node_s(heat, static_cast<physics::HeatNode>(n));
      quick_heat_s_[k] =
          std::min(quick_heat_s_[k], (n == physics::housing ? share_of_housing : share) * node_s_[k][n]);
    }
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
  const bool lone = circuit_.doors.size() == 1;
  longest_ = smooth_s_ = settling_s_ = unlimited;
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    const DoorCircuit& door = circuit_.doors[k];
    const DoorMode& mode = drive_.modes()[k];
    const DoorPoint& p = first_.doors[k];
    const double* s = x.data() + k * slots;
    Basis& basis = basis_[k];
    LinearDoor& linear = linear_[k];
    Push& push = pushes_[k];
    basis = {};
    heat_[k].quick = false;
    double fastest = 0;  // 1/s²: of oscillation or growth
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
      const double* rate = p.rate.data() + slot_temperature;
      basis.magnet_rate = door.motor.torque_constant_per_K() * rate[physics::motor_case];
      basis.friction_rate = door.motor.friction_per_K(s[slot_temperature + physics::housing], p.friction) *
                            rate[physics::housing];
      push.torque[0] = door.motor.inertia * p.rate[slot_speed];
      push.torque[1] = basis.magnet_rate * (mode.conducting ? s[slot_current] : 0.0) - basis.friction_rate;
      push.speed = s[slot_speed];
      const double square = p.torque_constant * p.torque_constant;
      settling_s_ = std::min(settling_s_, door.motor.inertia / (linear.damping + square / p.ohms.path));
      rotor_s_ = std::min(rotor_s_, door.motor.inertia * p.ohms.path / square);
      // Rotor and inductance swing against each other where L/R is long.
      const double swing =
          p.torque_constant * p.torque_constant / (door.motor.inertia * door.motor.inductance);
      const double decay = 0.5 * p.ohms.path / door.motor.inductance;
      fastest = std::fabs(linear.stiffness) / door.motor.inertia + std::max(0.0, swing - decay * decay);
    }
    if (linear.conducting) {
      time_constant_ = std::min(time_constant_, door.motor.inductance / p.ohms.path);
      push.volts[0] = door.motor.inductance * p.rate[slot_current];
      const double* rate = p.rate.data() + slot_temperature;
      push.volts[1] = -s[slot_current] * (door.motor.winding_ohm_per_K() * rate[physics::winding] +
                                          p.ohms.ptc_per_K * rate[physics::ptc]) -
                      (linear.moving ? basis.magnet_rate * s[slot_speed] : 0.0);
    }
    if (lone) {
      LinearDoor whole = linear;
      whole.resistance += circuit_.shared_ohm;
      lone_.prepare(whole);
    }
    const double cheap = largest_turn() / std::sqrt(std::max(fastest, 1e-9));
    smooth_s_ = std::min(smooth_s_, cheap);
    const auto limit = [&](double seconds, Limit by) {
      if (seconds < longest_) {
        longest_ = seconds;
        longest_by_ = {k, by};
      }
    };
    limit(longest_by_turning(k, cheap), Limit::turning);
    limit(longest_by_braking(k), Limit::braking);
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

double DriveStep::complete() {
  const std::size_t count = circuit_.doors.size();
  for (std::size_t k = 0; k < count; ++k) {
    // First guess: as the rates at the begin have it.
    const DoorPoint& p = first_.doors[k];
    const double* rate = p.rate.data() + slot_temperature;
    last_.doors[k].ohms = p.ohms;
    heat_[k].quick = h_ > quick_heat_s_[k];
    if (heat_[k].quick) {
      const double* from = x_->data() + k * slots;
      double watts[heat_nodes], T[heat_nodes];
      constexpr double stays[heat_nodes] = {};
      heat_at(k, from, p, watts);
      modes(k).heated(from + slot_temperature, watts, stays, circuit_.at.ambient_C, h_, T);
      last_.doors[k].ohms = DoorOhms(circuit_.doors[k], T);
      continue;
    }
    last_.doors[k].ohms.winding += h_ * circuit_.doors[k].motor.winding_ohm_per_K() * rate[physics::winding];
    last_.doors[k].ohms.ptc += h_ * p.ohms.ptc_per_K * rate[physics::ptc];
  }
  // Steps this long against what moves go on one after the other, and their errors add up.
  const double permitted = permitted_joules() * (h_ > smooth_s_ ? 0.05 : 1.0);
  double doubt = integrate(permitted);
  add_heat(false);
  drive_.at(end_, last_);
  corrected_ = correct();
  if (corrected_) {
    doubt = integrate(permitted);
    add_heat(true);
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
    const double speed = s[slot_speed];
    s[slot_angle] += seconds * (rate[slot_angle] + seconds * (rate[slot_speed] / 2 + seconds * bend_w / 6));
    s[slot_current] += seconds * (rate[slot_current] + seconds * bend_i / 2);
    s[slot_speed] += seconds * (rate[slot_speed] + seconds * bend_w / 2);
    for (std::size_t n = slot_temperature; n < slots; ++n) {
      const double moved = seconds * rate[n];
      // A quick node may not be carried past where it is bound for.
      s[n] += heat_[k].quick ? moved / (1 + std::fabs(seconds) / quick_heat_s_[k]) : moved;
    }
    if (l.moving && basis_[k].gear_loss > 0) {
      // A strong load may end in no time, and what the gears lose with it: by the mean of both ends.
      const DoorCircuit& door = circuit_.doors[k];
      const double force =
          rod_force(door, drive_.modes()[k], drive_.unlocking(), s[slot_angle], s[slot_speed]);
      const double more = std::fabs(force) * std::max(0.0, s[slot_speed]) -
                          std::fabs(last_.doors[k].force) * std::max(0.0, speed);
      s[slot_temperature + physics::housing] += 0.5 * seconds * basis_[k].gear_loss * door.rod_per_rad *
                                                more * door.heat.per_capacity(physics::housing);
    }
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
    if (heat_[k].quick) {
      const std::size_t first = k * slots + slot_temperature;
      modes(k).heated(x_->data() + first, heat_[k].watts.data(), heat_[k].watts_per_s.data(),
                      circuit_.at.ambient_C, t, x.data() + first);
      continue;
    }
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
