// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include "sim/drive_step.h"
#include "sim/kronrod.h"

// docs/model.md (3.8).
// The heat of one step of driven doors, by the step's own energy balance: what the supply gives less what
// motion and inductance take is what the resistances get.
namespace latchwright::sim {

using physics::heat_nodes;

namespace {

// Of quadratures, relative to the stall's energy in the whole pulse: of one door, and of several that add
// theirs.
constexpr double permitted_energy = 1e-6, permitted_together = 5e-7;

/// A function on a step by its values, rates and second derivatives at both ends.
struct Ends {
  double first, first_rate, first_bend, last, last_rate, last_bend;
};

/// Integral over a step of the product of two functions, and how uncertain it is.
struct Integral {
  double value = 0, doubt = 0;
};

/// How far the cubic through values and rates at the ends is off in the mean, by what it has for bends there.
double doubt(const Ends& a, double h) {
  const double slope = (a.last - a.first) / h;
  const double first_bend = (6 * slope - 4 * a.first_rate - 2 * a.last_rate) / h;
  const double last_bend = (2 * a.first_rate + 4 * a.last_rate - 6 * slope) / h;
  return h * h / 120 * (std::fabs(a.first_bend - first_bend) + std::fabs(a.last_bend - last_bend));
}

/// From the quintics through values, rates and bends at the ends. trust: of the cubics' doubt, what is left
/// to them.
Integral product(const Ends& a, const Ends& b, double h, double trust) {
  const auto middle = [h](const Ends& c) {
    return 0.5 * (c.first + c.last) +
           h * (5.0 / 32 * (c.first_rate - c.last_rate) + h / 64 * (c.first_bend + c.last_bend));
  };
  const double first = a.first * b.first, last = a.last * b.last, middle_a = middle(a), middle_b = middle(b);
  const double fall =
      a.first_rate * b.first + a.first * b.first_rate - a.last_rate * b.last - a.last * b.last_rate;
  const double largest_a = std::max({std::fabs(a.first), std::fabs(a.last), std::fabs(middle_a)});
  const double largest_b = std::max({std::fabs(b.first), std::fabs(b.last), std::fabs(middle_b)});
  return {h / 30 * (7 * first + 16 * middle_a * middle_b + 7 * last) + h * h / 60 * fall,
          trust * h * (largest_a * doubt(b, h) + largest_b * doubt(a, h))};
}

}  // namespace

double DriveStep::weighty_damping(std::size_t k) const {
  const LinearDoor& l = linear_[k];
  if (!l.moving) return 0;
  // What the motor's own drag takes too much or too little, its copper gets, and outside the motor the wires'
  // share of it.
  const double viscous = circuit_.doors[k].motor.viscous;
  const double wires = circuit_.shared_ohm + circuit_.doors[k].branch_ohm;
  return l.damping - viscous + viscous * wires / (l.resistance + circuit_.shared_ohm);
}

double DriveStep::integrate_by_ends() {
  const std::size_t count = circuit_.doors.size();
  if (count == 1 && !linear_[0].moving) {
    square_[0] = with_others_[0] = 0;
    return 0;
  }
  // A fifth of the cubics' doubt is the quintics' with room to spare, but where rates at the ends belong to
  // what is over long before the step is.
  constexpr double smooth = 0.2, stiff = 1;
  const double trust_speeds = h_ > settling_s_ ? stiff : smooth;
  // Currents of ordinary doors settle within a step, and well enough.
  constexpr double many = 30;  // time constants
  const double trust_currents = h_ > many * time_constant_ ? stiff : smooth;
  // All currents together, then each door with the others; currents relative to the step's end.
  Ends all{};
  double doubt = 0;
  std::array<std::array<double, slots>, most_doors> last;  // fast rates of the linear circuit at the end
  for (std::size_t k = 0; k < count; ++k) {
    last[k][slot_current] = linear_rate_[k].current;
    last[k][slot_speed] = linear_rate_[k].speed;
    last[k][slot_angle] = linear_[k].moving ? end_[k * slots + slot_speed] : 0;
    all.first -= increments_[k].current;
    all.first_rate += first_.doors[k].rate[slot_current];
    all.last_rate += last[k][slot_current];
  }
  std::array<Ends, most_doors> own;
  for (std::size_t k = 0; k < count && count > 1; ++k) {
    own[k] = {-increments_[k].current,
              first_.doors[k].rate[slot_current],
              current_bend(k, 0, first_.doors[k].rate.data(), all.first_rate),
              0,
              last[k][slot_current],
              current_bend(k, h_, last[k].data(), all.last_rate)};
    all.first_bend += own[k].first_bend;
    all.last_bend += own[k].last_bend;
  }
  for (std::size_t k = 0; k < count; ++k) {
    with_others_[k] = square_[k] = 0;
    if (linear_[k].moving) {
      const double* rate = first_.doors[k].rate.data();
      const Ends w{(*x_)[k * slots + slot_speed], rate[slot_speed],    speed_bend(k, 0, rate),
                   end_[k * slots + slot_speed],  last[k][slot_speed], speed_bend(k, h_, last[k].data())};
      const Integral square = product(w, w, h_, trust_speeds);
      square_[k] = square.value;
      doubt += weighty_damping(k) * square.doubt;
    }
    if (linear_[k].conducting && count > 1) {
      const Ends& i = own[k];
      const Ends others{all.first - i.first,           all.first_rate - i.first_rate,
                        all.first_bend - i.first_bend, 0,
                        all.last_rate - i.last_rate,   all.last_bend - i.last_bend};
      const Integral both = product(i, others, h_, trust_currents);
      with_others_[k] = both.value;
      doubt += circuit_.shared_ohm * both.doubt;
    }
  }
  return doubt;
}

double DriveStep::integrate_by_nodes(double permitted) {
  const std::size_t count = circuit_.doors.size();
  struct Sums {
    double square = 0, others = 0;
  };
  std::array<Sums, most_doors> gauss{}, kronrod{};
  double all = 0;
  for (std::size_t k = 0; k < count; ++k) all += increments_[k].current;
  // Nodes crowd where currents bend, at the begin, when the step is longer than that takes and they matter.
  const bool crowded = (count > 1 && h_ > 2 * time_constant_) || h_ > smooth_s_ || h_ > 5 * settling_s_;
  std::array<Increment, most_doors> inside;
  const auto take = [&](const KronrodNode& node) {
    const double u = node.place;
    const double stretch = h_ * (crowded ? 3 * u * u : 1.0);
    const double t = h_ * (crowded ? u * u * u : u);
    respond(t, pushes_.data(), inside.data());
    std::size_t place = sample_count_++;
    for (; place > 0 && samples_[place - 1].t > t; --place) samples_[place] = samples_[place - 1];
    samples_[place].t = t;
    double sum = 0;
    for (std::size_t k = 0; k < count; ++k) sum += inside[k].current;
    for (std::size_t k = 0; k < count; ++k) {
      samples_[place].current[k] = inside[k].current;
      samples_[place].rate[k] = current_rate(k, t, inside[k], sum);
    }
    for (std::size_t k = 0; k < count; ++k) {
      const double w = (*x_)[k * slots + slot_speed] + inside[k].speed;
      const double own = inside[k].current - increments_[k].current;
      const double square = stretch * w * w, others = stretch * own * (sum - all - own);
      kronrod[k].square += node.weight * square;
      kronrod[k].others += node.weight * others;
      gauss[k].square += node.gauss_weight * square;
      gauss[k].others += node.gauss_weight * others;
    }
  };
  // Puts new sums in place of the old; how far they lie apart, J.
  const auto change = [&](const std::array<Sums, most_doors>& sums) {
    double joules = 0;
    for (std::size_t k = 0; k < count; ++k) {
      joules += weighty_damping(k) * std::fabs(sums[k].square - square_[k]) +
                circuit_.shared_ohm * std::fabs(sums[k].others - with_others_[k]);
      square_[k] = sums[k].square;
      with_others_[k] = sums[k].others;
    }
    return joules;
  };
  // A change is the error of the rule before; the rule at hand is a good deal better. What has a transient
  // may deceive two such different rules, so there Kronrod's always follows Gauss's.
  for (int n = 0; n < gauss_nodes; ++n) take(kronrod_nodes[n]);
  const double doubt = 0.4 * change(gauss);
  if (!crowded && doubt <= permitted) return doubt;
  for (std::size_t n = gauss_nodes; n < std::size(kronrod_nodes); ++n) take(kronrod_nodes[n]);
  return (crowded ? 0.5 : 0.05) * change(kronrod);
}

double DriveStep::integrate(double permitted) {
  sample_count_ = 0;
  const double doubt = integrate_by_ends();
  return doubt > permitted ? integrate_by_nodes(permitted) : doubt;
}

void DriveStep::add_heat(bool end_known) {
  const std::size_t count = circuit_.doors.size();
  const double h = h_;
  heat_off_K_ = 0;
  double all_last = 0;
  for (std::size_t k = 0; k < count; ++k) all_last += end_[k * slots + slot_current];
  // Charges, as the linear circuit has them: R q + R_s sum of all q = what drives it less L di and K dangle.
  std::array<double, most_doors> right;
  double top = 0, bottom = 1;
  for (std::size_t k = 0; k < count; ++k) {
    charge_[k] = 0;
    const LinearDoor& l = linear_[k];
    if (!l.conducting) continue;
    const auto& volts = pushes_[k].volts;
    right[k] = (circuit_.source_V - circuit_.doors[k].motor.brush_drop) * h +
               h * h * (volts[1] / 2 + h * volts[2] / 3) - l.inductance * increments_[k].current -
               l.torque_constant * increments_[k].angle;
    top += right[k] / l.resistance;
    bottom += circuit_.shared_ohm / l.resistance;
  }
  const double all_charge = top / bottom;
  for (std::size_t k = 0; k < count; ++k) {
    const DoorCircuit& door = circuit_.doors[k];
    const LinearDoor& l = linear_[k];
    const double* s0 = x_->data() + k * slots;
    double* s1 = end_.data() + k * slots;
    const double turned = increments_[k].angle;
    double spin_work = 0, drag_heat = 0,
           gear_heat = 0;  // J: K times the integral of i w, and what becomes heat
    if (l.moving) {
      const double w0 = s0[slot_speed], w1 = s1[slot_speed];
      const double drift = h * basis_[k].friction_rate;
      const double bend = end_known ? last_.doors[k].friction - first_.doors[k].friction - drift : 0;
      const double friction = first_.doors[k].friction + drift / 2 + bend / 3;
      drag_heat = friction * turned + door.motor.viscous * square_[k];
      double rod_work = 0;
      if (basis_[k].lever > 0) {
        const double a = rod_travel(door, s0[slot_angle]), b = rod_travel(door, s1[slot_angle]);
        rod_work = door.load(drive_.unlocking()).work(a, b);
        if (drive_.modes()[k].arrived) {
          const double deep0 = a - door.stroke, deep1 = b - door.stroke;
          rod_work += 0.5 * door.stop_stiffness * (deep1 - deep0) * (deep1 + deep0) +
                      door.stop_damping * door.rod_per_rad * door.rod_per_rad * square_[k];
        }
      }
      gear_heat = basis_[k].gear_loss * std::fabs(rod_work);
      const double load_work = rod_work * basis_[k].lever / door.rod_per_rad;
      spin_work = 0.5 * door.motor.inertia * (w1 * w1 - w0 * w0) + drag_heat +
                  (basis_[k].lever > 0 ? load_work : 0.0);
      // Coasting, what the rotor gives beyond the load is the drag's, whatever the step's error.
      if (!l.conducting) drag_heat -= spin_work;
    }
    double winding_heat = 0, ptc_heat = 0;  // J
    if (l.conducting) {
      const double i0 = s0[slot_current], i1 = s1[slot_current];
      charge_[k] = (right[k] - circuit_.shared_ohm * all_charge) / l.resistance;
      const double taken = (circuit_.source_V - door.motor.brush_drop) * charge_[k];
      double left = taken - 0.5 * door.motor.inductance * (i1 * i1 - i0 * i0) - spin_work;
      if (count > 1) {
        // R_s times the integral of this current with all others: by their ends, and a covariance about
        // these.
        const double others_charge = all_charge - charge_[k], others_last = all_last - i1;
        left -= circuit_.shared_ohm *
                (others_last * charge_[k] + i1 * others_charge - others_last * i1 * h + with_others_[k]);
      }
      // Of that, what falls outside the motor: R i² there less what the pushes stand for, by the straight
      // line that has the current's end and its charge.
      const auto& volts = pushes_[k].volts;
      // Magnets that weaken push as well, but heat nothing.
      const double power0 = s0[slot_speed] * i0, power1 = s1[slot_speed] * i1;
      const double steady = h * basis_[k].magnet_rate;
      const double rest =
          end_known ? last_.doors[k].torque_constant - first_.doors[k].torque_constant - steady : 0;
      const double by_magnets = h * (steady * (power0 / 6 + power1 / 3) + rest * (power0 / 12 + power1 / 4));
      const double slope = 2 * (i1 - charge_[k] / h) / h, start = i1 - slope * h;
      const double pushed =
          h * h * (volts[1] * (start / 2 + slope * h / 3) + volts[2] * h * (start / 3 + slope * h / 4)) +
          by_magnets;
      const double square = (left + pushed) / (l.resistance + circuit_.shared_ohm);
      left -= square * (door.branch_ohm + circuit_.shared_ohm);
      // A resistance rises as heat comes in, and heat weights it: half of the rise, whatever the current's
      // course.
      const DoorOhms &ohms = first_.doors[k].ohms, &later = last_.doors[k].ohms;
      const double winding_ohm = ohms.winding + later.winding, ptc_ohm = ohms.ptc + later.ptc;
      winding_heat = left * winding_ohm / (winding_ohm + ptc_ohm);
      ptc_heat = left - winding_heat;
    }
    double watts[heat_nodes], rate[heat_nodes], middle[heat_nodes];
    const double per_h = 1 / h;
    watts[physics::winding] = winding_heat * per_h;
    watts[physics::core] = 0;
    watts[physics::motor_case] = (door.motor.brush_drop * charge_[k] + drag_heat) * per_h;
    watts[physics::ptc] = ptc_heat * per_h;
    watts[physics::housing] = gear_heat * per_h;
    if (heat_[k].quick) {
      add_quick_heat(k, watts);
      continue;
    }
    const double* T0 = s0 + slot_temperature;
    double* T1 = s1 + slot_temperature;
    door.heat.rates(T0, watts, circuit_.at.ambient_C, rate);
    for (std::size_t n = 0; n < heat_nodes; ++n) middle[n] = T0[n] + 0.5 * h * rate[n];
    door.heat.rates(middle, watts, circuit_.at.ambient_C, rate);
    for (std::size_t n = 0; n < heat_nodes; ++n) T1[n] = T0[n] + h * rate[n];
  }
}

double DriveStep::permitted_joules() const {
  double siemens = 0, current = 0;
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    siemens += 1 / first_.doors[k].ohms.path;
    current += std::max((*x_)[k * slots + slot_current], h_ > 0 ? end_[k * slots + slot_current] : 0.0);
  }
  const double stall_A = circuit_.source_V * siemens / (1 + circuit_.shared_ohm * siemens);
  // Doors that hardly draw anything take that much less in the whole pulse.
  constexpr double ordinary = 0.1, least = 0.005;
  const double share = std::clamp(current / (ordinary * stall_A), least, 1.0);
  return (circuit_.doors.size() == 1 ? permitted_energy : permitted_together) * share * circuit_.source_V *
         stall_A * on_s_;
}

}  // namespace latchwright::sim
