// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/linear_response.h"

#include <cmath>
#include <complex>
#include <numbers>

namespace latchwright::sim {

struct LinearResponse::Contour {
  Wave z;
  Wave weight;                         // the points' shares of the inversion integral
  Wave inverse, inverse_2, inverse_3;  // 1/z, 1/z², 2/z³: transforms of 1, t, t²

  Contour() {
    constexpr double shift = 3;
    constexpr int points = 2 * lanes;
    for (int m = 0; m < lanes; ++m) {
      using C = std::complex<double>;
      const double angle = (2.0 * m + 1) * std::numbers::pi / points;
      const double cotangent = 1 / std::tan(0.6407 * angle);
      const double sine = std::sin(0.6407 * angle);
      const C point = C(points * (0.5017 * angle * cotangent - 0.6122) + shift, points * 0.2645 * angle);
      const C slope =
          C(points * (0.5017 * cotangent - 0.5017 * 0.6407 * angle / (sine * sine)), points * 0.2645);
      put(z, m, point);
      const C share = 2.0 / points * std::exp(point) * slope / C(0, 1);
      put(weight, m, share);
      put(inverse, m, 1.0 / point);
      put(inverse_2, m, 1.0 / (point * point));
      put(inverse_3, m, 2.0 / (point * point * point));
    }
  }
  static void put(Wave& to, int m, std::complex<double> value) {
    to.re[m] = value.real();
    to.im[m] = value.imag();
  }

  static const Contour whole;

  // Complex arithmetic on all points.
  static void multiply(const Wave& a, const Wave& b, Wave& out) {
    const Lanes re = a.re * b.re - a.im * b.im;
    out.im = a.re * b.im + a.im * b.re;
    out.re = re;
  }
  static void invert(Wave& a, double times) {
    const Lanes scale = times / (a.re * a.re + a.im * a.im);
    a.re *= scale;
    a.im *= -scale;
  }
  static void add(Wave& to, double factor, const Wave& a) {
    to.re += factor * a.re;
    to.im += factor * a.im;
  }
  void polynomial(double p0, double p1, double p2, Wave& out) const {
    out.re = p0 * inverse.re + p1 * inverse_2.re;
    out.im = p0 * inverse.im + p1 * inverse_2.im;
    if (p2 != 0) add(out, p2, inverse_3);
  }
  static double integral(const Wave& share, const Wave& a) {
    return (share.re * a.re - share.im * a.im).sum();
  }
};

const LinearResponse::Contour LinearResponse::Contour::whole;

void LinearResponse::prepare(const LinearDoor* doors, std::size_t count, double shared_ohm, double h) {
  const Contour& c = Contour::whole;
  count_ = count;
  h_ = h;
  const double per_h = 1 / h;
  Wave sum{Lanes::Zero(), Lanes::Zero()};
  for (std::size_t k = 0; k < count; ++k) {
    const LinearDoor& door = doors[k];
    Door& d = doors_[k];
    d.conducting = door.conducting;
    d.moving = door.moving;
    d.torque_constant = door.torque_constant;
    d.stiffness = door.stiffness;
    if (d.moving) {
      const double j = door.inertia * per_h, k_h = door.stiffness * h;
      d.mobility.re = j * c.z.re + k_h * c.inverse.re + door.damping;
      d.mobility.im = j * c.z.im + k_h * c.inverse.im;
      Contour::invert(d.mobility, 1);
    }
    if (!d.conducting) continue;
    // A lone door takes the shared resistance into its own.
    const double l = door.inductance * per_h;
    d.admittance.re = l * c.z.re + (door.resistance + (count > 1 ? 0.0 : shared_ohm));
    d.admittance.im = l * c.z.im;
    if (d.moving) Contour::add(d.admittance, door.torque_constant * door.torque_constant, d.mobility);
    Contour::invert(d.admittance, 1);
    if (count > 1) Contour::add(sum, 1, d.admittance);
  }
  if (count < 2) return;
  shared_.re = 1 + shared_ohm * sum.re;
  shared_.im = shared_ohm * sum.im;
  Contour::invert(shared_, shared_ohm);
}

void LinearResponse::solve(const Push* pushes, Increment* out) {
  const Contour& c = Contour::whole;
  const double h = h_, h2 = h * h, h3 = h2 * h, per_h = 1 / h;
  Wave sum{Lanes::Zero(), Lanes::Zero()};
  for (std::size_t k = 0; k < count_; ++k) {
    const Door& d = doors_[k];
    const Push& push = pushes[k];
    Wave& current = current_[k];
    if (d.moving) {
      c.polynomial(push.torque[0] * h, (push.torque[1] - d.stiffness * push.speed) * h2, push.torque[2] * h3,
                   torque_[k]);
    }
    if (!d.conducting) continue;
    c.polynomial(push.volts[0] * h, push.volts[1] * h2, push.volts[2] * h3, current);
    if (d.moving) {
      Wave back_emf;
      Contour::multiply(d.mobility, torque_[k], back_emf);
      Contour::add(current, -d.torque_constant, back_emf);
    }
    Contour::multiply(d.admittance, current, current);
    if (count_ > 1) Contour::add(sum, 1, current);
  }
  Wave drop;  // R_s times the sum of all currents
  if (count_ > 1) Contour::multiply(shared_, sum, drop);
  for (std::size_t k = 0; k < count_; ++k) {
    const Door& d = doors_[k];
    Increment& increment = out[k];
    increment = {};
    Wave& current = current_[k];
    if (d.conducting) {
      if (count_ > 1) {
        Wave part;
        Contour::multiply(d.admittance, drop, part);
        Contour::add(current, -1, part);
      }
      increment.current = Contour::integral(c.weight, current) * per_h;
    }
    if (!d.moving) continue;
    Wave& speed = torque_[k];
    if (d.conducting) Contour::add(speed, d.torque_constant, current);
    Contour::multiply(d.mobility, speed, speed);
    increment.speed = Contour::integral(c.weight, speed) * per_h;
    Contour::add(speed, pushes[k].speed * h, c.inverse);
    Contour::multiply(speed, c.inverse, speed);
    increment.angle = Contour::integral(c.weight, speed);
  }
}

}  // namespace latchwright::sim
