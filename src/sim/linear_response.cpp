// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/linear_response.h"

#include <cmath>
#include <complex>
#include <cstring>
#include <numbers>

namespace latchwright::sim {

struct LinearResponse::Contour {
  Wave z;
  Wave weight;                         // the points' shares of the inversion integral
  Wave inverse, inverse_2, inverse_3;  // 1/z, 1/z², 2/z³: transforms of 1, t, t²

  Contour() {
    constexpr double shift = 3;
    constexpr int points = 2 * lanes;
#pragma GCC ivdep
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
    to.re.at[m] = value.real();
    to.im.at[m] = value.imag();
  }

  static const Contour whole;
};

const LinearResponse::Contour LinearResponse::Contour::whole;

/// docs/model.md (3.7).
/// The formulas, for registers of one width. Each point's arithmetic is the same whatever the width, and sums
/// over points have a fixed order: the digits do not depend on the processor.
template <class Register>
struct LinearResponse::Work {
#define LATCHWRIGHT_INLINE [[gnu::always_inline]] static inline
  static constexpr int width = sizeof(Register) / sizeof(double);

  // Complex numbers, one a point; of whole waves, operation by operation.
  struct Z {
    Register re, im;
  };
  LATCHWRIGHT_INLINE void take(const Wave& from, int m, Z& to) {
    std::memcpy(&to.re, from.re.at + m, sizeof to.re);
    std::memcpy(&to.im, from.im.at + m, sizeof to.im);
  }
  LATCHWRIGHT_INLINE void put(const Z& from, int m, Wave& to) {
    std::memcpy(to.re.at + m, &from.re, sizeof from.re);
    std::memcpy(to.im.at + m, &from.im, sizeof from.im);
  }
  LATCHWRIGHT_INLINE void multiply(const Wave& a, const Wave& b, Wave& out) {
    for (int m = 0; m < lanes; m += width) {
      Z x, y, product;
      take(a, m, x);
      take(b, m, y);
      product.re = x.re * y.re - x.im * y.im;
      product.im = x.re * y.im + x.im * y.re;
      put(product, m, out);
    }
  }
  /// a = times / a
  LATCHWRIGHT_INLINE void invert(Wave& a, double times) {
    for (int m = 0; m < lanes; m += width) {
      Z x;
      take(a, m, x);
      const Register scale = times / (x.re * x.re + x.im * x.im);
      x.re *= scale;
      x.im *= -scale;
      put(x, m, a);
    }
  }
  /// to = to + factor a
  LATCHWRIGHT_INLINE void add(Wave& to, double factor, const Wave& a) {
    for (int m = 0; m < lanes; m += width) {
      Z x, y;
      take(to, m, x);
      take(a, m, y);
      x.re += factor * y.re;
      x.im += factor * y.im;
      put(x, m, to);
    }
  }
  /// out = p a + q b + shift
  LATCHWRIGHT_INLINE void combine(double p, const Wave& a, double q, const Wave& b, double shift, Wave& out) {
    for (int m = 0; m < lanes; m += width) {
      Z x, y;
      take(a, m, x);
      take(b, m, y);
      x.re = p * x.re + q * y.re + shift;
      x.im = p * x.im + q * y.im;
      put(x, m, out);
    }
  }
  /// out = p a + shift
  LATCHWRIGHT_INLINE void scale(double p, const Wave& a, double shift, Wave& out) {
    for (int m = 0; m < lanes; m += width) {
      Z x;
      take(a, m, x);
      x.re = p * x.re + shift;
      x.im = p * x.im;
      put(x, m, out);
    }
  }
  /// The transform of p0 + p1 t + p2 t²/2... of a push.
  LATCHWRIGHT_INLINE void polynomial(double p0, double p1, double p2, Wave& out) {
    const Contour& c = Contour::whole;
    combine(p0, c.inverse, p1, c.inverse_2, 0, out);
    if (p2 != 0) add(out, p2, c.inverse_3);
  }
  /// The inversion integral of a.
  LATCHWRIGHT_INLINE double integral(const Wave& a) {
    double v[lanes];
    for (int m = 0; m < lanes; m += width) {
      Z share, x;
      take(Contour::whole.weight, m, share);
      take(a, m, x);
      const Register part = share.re * x.re - share.im * x.im;
      std::memcpy(v + m, &part, sizeof part);
    }
    return ((v[0] + v[2]) + (v[4] + v[6])) + ((v[1] + v[3]) + (v[5] + v[7]));
  }

  LATCHWRIGHT_INLINE void prepare(LinearResponse& self, const LinearDoor* doors, double shared_ohm);
  LATCHWRIGHT_INLINE void solve(LinearResponse& self, const Push* pushes, Increment* out);
#undef LATCHWRIGHT_INLINE
};

template <class Register>
void LinearResponse::Work<Register>::prepare(LinearResponse& self, const LinearDoor* doors,
                                             double shared_ohm) {
  const Contour& c = Contour::whole;
  const std::size_t count = self.count_;
  const double h = self.h_, per_h = 1 / h;
  Wave sum{};
  for (std::size_t k = 0; k < count; ++k) {
    const LinearDoor& door = doors[k];
    Door& d = self.doors_[k];
    d.conducting = door.conducting;
    d.moving = door.moving;
    d.torque_constant = door.torque_constant;
    d.stiffness = door.stiffness;
    if (d.moving) {
      const double j = door.inertia * per_h, k_h = door.stiffness * h;
      combine(j, c.z, k_h, c.inverse, door.damping, d.mobility);
      invert(d.mobility, 1);
    }
    if (!d.conducting) continue;
    // A lone door takes the shared resistance into its own.
    const double l = door.inductance * per_h;
    scale(l, c.z, door.resistance + (count > 1 ? 0.0 : shared_ohm), d.admittance);
    if (d.moving) add(d.admittance, door.torque_constant * door.torque_constant, d.mobility);
    invert(d.admittance, 1);
    if (count > 1) add(sum, 1, d.admittance);
  }
  if (count < 2) return;
  scale(shared_ohm, sum, 1, self.shared_);
  invert(self.shared_, shared_ohm);
}

template <class Register>
void LinearResponse::Work<Register>::solve(LinearResponse& self, const Push* pushes, Increment* out) {
  const Contour& c = Contour::whole;
  const std::size_t count = self.count_;
  const double h = self.h_, h2 = h * h, h3 = h2 * h, per_h = 1 / h;
  Wave sum{};
  for (std::size_t k = 0; k < count; ++k) {
    const Door& d = self.doors_[k];
    const Push& push = pushes[k];
    Wave& current = self.current_[k];
    if (d.moving) {
      polynomial(push.torque[0] * h, (push.torque[1] - d.stiffness * push.speed) * h2, push.torque[2] * h3,
                 self.torque_[k]);
    }
    if (!d.conducting) continue;
    polynomial(push.volts[0] * h, push.volts[1] * h2, push.volts[2] * h3, current);
    if (d.moving) {
      Wave back_emf;
      multiply(d.mobility, self.torque_[k], back_emf);
      add(current, -d.torque_constant, back_emf);
    }
    multiply(d.admittance, current, current);
    if (count > 1) add(sum, 1, current);
  }
  Wave drop;  // R_s times the sum of all currents
  if (count > 1) multiply(self.shared_, sum, drop);
  for (std::size_t k = 0; k < count; ++k) {
    const Door& d = self.doors_[k];
    Increment& increment = out[k];
    increment = {};
    Wave& current = self.current_[k];
    if (d.conducting) {
      if (count > 1) {
        Wave part;
        multiply(d.admittance, drop, part);
        add(current, -1, part);
      }
      increment.current = integral(current) * per_h;
    }
    if (!d.moving) continue;
    Wave& speed = self.torque_[k];
    if (d.conducting) add(speed, d.torque_constant, current);
    multiply(d.mobility, speed, speed);
    increment.speed = integral(speed) * per_h;
    add(speed, pushes[k].speed * h, c.inverse);
    multiply(speed, c.inverse, speed);
    increment.angle = integral(speed);
  }
}

/// The formulas for every width of register that processors have. Vectors wider than a register would be
/// correct as well, and several times slower.
struct LinearResponse::Formulas {
  void (*prepare)(LinearResponse& self, const LinearDoor* doors, double shared_ohm);
  void (*solve)(LinearResponse& self, const Push* pushes, Increment* out);

  static const Formulas two, four, eight;
};

namespace {
using Two [[gnu::vector_size(16)]] = double;
using Four [[gnu::vector_size(32)]] = double;
using Eight [[gnu::vector_size(64)]] = double;
}  // namespace

const LinearResponse::Formulas LinearResponse::Formulas::two = {
    [](LinearResponse& self, const LinearDoor* doors, double shared_ohm) {
      Work<Two>::prepare(self, doors, shared_ohm);
    },
    [](LinearResponse& self, const Push* pushes, Increment* out) { Work<Two>::solve(self, pushes, out); }};
#ifdef __x86_64__
const LinearResponse::Formulas LinearResponse::Formulas::four = {
    [](LinearResponse & self, const LinearDoor* doors, double shared_ohm)
        __attribute__((target("avx2"))){Work<Four>::prepare(self, doors, shared_ohm);
}
, [](LinearResponse& self, const Push* pushes, Increment* out) __attribute__((target("avx2"))) {
  Work<Four>::solve(self, pushes, out);
}
}
;
const LinearResponse::Formulas LinearResponse::Formulas::eight = {
    [](LinearResponse & self, const LinearDoor* doors, double shared_ohm)
        __attribute__((target("avx512f"))){Work<Eight>::prepare(self, doors, shared_ohm);
}
, [](LinearResponse& self, const Push* pushes, Increment* out) __attribute__((target("avx512f"))) {
  Work<Eight>::solve(self, pushes, out);
}
}
;
#endif

int LinearResponse::widest() {
#ifdef __x86_64__
  static const int here = __builtin_cpu_supports("avx512f") ? 8 : __builtin_cpu_supports("avx2") ? 4 : 2;
  return here;
#else
  return 2;
#endif
}

LinearResponse::LinearResponse(int width) : formulas_(&Formulas::two) {
#ifdef __x86_64__
  if (width == 4) formulas_ = &Formulas::four;
  if (width == 8) formulas_ = &Formulas::eight;
#endif
}

void LinearResponse::prepare(const LinearDoor* doors, std::size_t count, double shared_ohm, double h) {
  count_ = count;
  h_ = h;
  formulas_->prepare(*this, doors, shared_ohm);
}

void LinearResponse::solve(const Push* pushes, Increment* out) { formulas_->solve(*this, pushes, out); }

}  // namespace latchwright::sim
