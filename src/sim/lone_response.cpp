// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/lone_response.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace latchwright::sim {

namespace {

constexpr std::size_t factorials = 24;

/// 1/n!
constexpr std::array<double, factorials> per_factorial = [] {
  std::array<double, factorials> table{};
  double factorial = 1;
  for (std::size_t n = 0; n < factorials; ++n) {
    if (n > 0) factorial *= static_cast<double>(n);
    table[n] = 1 / factorial;
  }
  return table;
}();

// Zeros times h up to which the Taylor series serve, and from which the recurrence does; between them both
// do.
constexpr double small = 1, large = 0.5;
/// Where a zero between the two groups is divided.
constexpr double middle = 0.7;

/// What decays below this is nothing beside any other part, and must not turn into denormal numbers.
constexpr double gone = -600;

double exponential(double z) { return z < gone ? 0.0 : std::exp(z); }

/// g_q, q = -3..4, times h^(1 - q - number of zeros): all in units of h.
struct Course {
  double g[8];
  double& operator[](int q) { return g[q + 3]; }
  double operator[](int q) const { return g[q + 3]; }
};

/// t^(q-1)/(q-1)! at 1, the right side of the recurrence; 0 for q < 1.
constexpr double forcing(int q) { return q < 1 ? 0.0 : per_factorial[static_cast<std::size_t>(q - 1)]; }

}  // namespace

struct LoneResponse::Modes {
  /// A pair of real zeros, a the farther from 0.
  static Pair of_zeros(double a, double b) {
    Pair p;
    p.linear = -(a + b);
    p.constant = a * b;
    p.mean = 0.5 * (a + b);
    p.spread = 0.5 * std::fabs(a - b);
    p.spread_2 = p.spread * p.spread;
    p.farther_zero = a;
    p.nearer_zero = b;
    p.farthest = std::fabs(a);
    p.nearest = std::fabs(b);
    return p;
  }
  /// spread_2: (linear/2)² - constant, which the caller may know better.
  static void of_polynomial(double linear, double constant, double spread_2, Pair& p) {
    p.linear = linear;
    p.constant = constant;
    p.mean = -0.5 * linear;
    p.spread_2 = spread_2;
    p.spread = std::sqrt(std::fabs(spread_2));
    if (spread_2 >= 0) {
      p.farther_zero = p.mean + std::copysign(p.spread, p.mean);
      p.nearer_zero = p.farther_zero != 0 ? constant / p.farther_zero : 0.0;
      p.farthest = std::fabs(p.farther_zero);
      p.nearest = std::fabs(p.nearer_zero);
    } else {
      p.farthest = p.nearest = std::sqrt(constant);
    }
  }

  /// The real zero of s³ + p2 s² + p1 s + p0 that lies farthest from the others: on the side of their mean to
  /// which the polynomial's value there points (W. Kahan, "To Solve a Real Cubic Equation", Berkeley 1986).
  static double lone_zero(double p2, double p1, double p0) {
    const double mean = -p2 / 3;
    const double value = ((mean + p2) * mean + p1) * mean + p0, slope = p1 + mean * p2;
    // About the mean: u³ + slope u + value.
    double u;
    const double half = 0.5 * std::fabs(value), third = slope / 3,
                 discriminant = half * half + third * third * third;
    if (discriminant <= 0) {
      // 2 a cos(acos(t)/3) within 0.2 %.
      const double a = std::sqrt(std::max(0.0, -third)), t = a > 0 ? std::min(1.0, half / -(a * third)) : 0.0;
      u = a * (std::sqrt(3.0) + t * (1.0 / 3 - 0.0654 * t));
    } else {
      const double w = std::cbrt(half + std::sqrt(discriminant));
      u = w > 0 ? w - third / w : 0.0;
    }
    double s = mean - std::copysign(u, value);
    // Newton's method, to a residual that rounding explains. As written it has no difference from s, which
    // for a zero near 0 would be rounded as s is.
    constexpr double rounding = 2 * std::numeric_limits<double>::epsilon();
    for (int i = 0; i < 12; ++i) {
      const double cube = s * s * s, square = p2 * s * s, line = p1 * s;
      const double residual = std::fabs(((s + p2) * s + p1) * s + p0);
      if (residual <= rounding * (std::fabs(cube) + std::fabs(square) + std::fabs(line) + std::fabs(p0)))
        break;
      const double tangent = (3 * s + 2 * p2) * s + p1;
      if (tangent == 0) break;
      s = (2 * cube + square - p0) / tangent;
    }
    return s;
  }

  /// φ_q(z), q = -2..top, with φ_-1 = z e^z and so on.
  template <int top>
  static void single(double z, Course& f) {
    if (std::fabs(z) <= large) {
      const double* c = per_factorial.data() + top;
      const double z2 = z * z;
      double even = c[14], odd = c[13];
      for (int j = 12; j >= 0; j -= 2) even = even * z2 + c[j];
      for (int j = 11; j >= 1; j -= 2) odd = odd * z2 + c[j];
      f[top] = even + z * odd;
      for (int q = top; q > 0; --q) f[q - 1] = z * f[q] + forcing(q);
    } else {
      f[0] = exponential(z);
      const double per_z = 1 / z;
      for (int q = 1; q <= top; ++q) f[q] = (f[q - 1] - forcing(q)) * per_z;
    }
    f[-1] = z * f[0];
    f[-2] = z * f[-1];
  }

  /// g_q of a pair, q = -3..0: divided differences of exponentials, by the zeros themselves where they are
  /// real and apart, else by their mean and distance.
  static void exponentials(const Pair& p, double h, Course& g) {
    const double spread = p.spread * h, spread_2 = p.spread_2 * (h * h);
    if (spread_2 > 0.25) {
      const double a = p.farther_zero * h, b = p.nearer_zero * h;
      const double per = std::copysign(0.5, a - b) / spread;
      double at_a = exponential(a) * per, at_b = exponential(b) * per;
      for (int q = 0; q >= -3; --q) {
        g[q] = at_a - at_b;
        at_a *= a;
        at_b *= b;
      }
      return;
    }
    const double mean = p.mean * h, scale = exponential(mean);
    double sine, cosine;  // sinh(x)/x and cosh(x) of the distance
    if (spread_2 < -0.25) {
      sine = std::sin(spread) / spread;
      cosine = std::cos(spread);
    } else {
      const double* c = per_factorial.data();
      sine = c[15];
      cosine = c[14];
      for (int n = 12; n >= 0; n -= 2) {
        sine = sine * spread_2 + c[n + 1];
        cosine = cosine * spread_2 + c[n];
      }
    }
    g[0] = scale * sine;
    g[-1] = scale * (cosine + mean * sine);
    const double q1 = p.linear * h, q0 = p.constant * (h * h);
    g[-2] = -q1 * g[-1] - q0 * g[0];
    g[-3] = -q1 * g[-2] - q0 * g[-1];
  }

  /// g_q of a pair of zeros that both are small.
  template <int top>
  static void series(const Pair& p, double h, Course& g) {
    const double q1 = p.linear * h, q0 = p.constant * (h * h);
    // φ_top = even(s²) + s odd(s²): remainders after division by the polynomial of the zeros' squares, then
    // by their own.
    const double r1 = 2 * q0 - q1 * q1, r0 = q0 * q0;
    const double* c = per_factorial.data() + top;
    double even = c[16], even_before = 0, odd = c[17], odd_before = 0;
    for (int j = 14; j >= 2; j -= 2) {
      const double e = c[j] - r0 * even_before - r1 * even, o = c[j + 1] - r0 * odd_before - r1 * odd;
      even_before = even;
      odd_before = odd;
      even = e;
      odd = o;
    }
    const double even_0 = c[0] - r0 * even_before, odd_0 = c[1] - r0 * odd_before;
    const double line = odd_0 - q1 * even + (q1 * q1 - q0) * odd,
                 constant = even_0 - q0 * even + q1 * q0 * odd;
    g[top] = line;
    g[top - 1] = constant - q1 * line;
    for (int q = top; q >= -1; --q) g[q - 2] = forcing(q) - q1 * g[q - 1] - q0 * g[q];
  }

  /// g_q of a pair, q = 1..top, from those at -1 and 0: none of its zeros small.
  template <int top>
  static void upward(const Pair& p, double h, Course& g) {
    const double q1 = p.linear * h, q0 = p.constant * (h * h), per = 1 / q0;
    for (int q = 1; q <= top; ++q) g[q] = (forcing(q) - g[q - 2] - q1 * g[q - 1]) * per;
  }

  /// g_q of a pair, q = -1..top.
  template <int top>
  static void pair(const Pair& p, double h, Course& g) {
    if (p.farthest * h <= small) {
      series<top>(p, h, g);
    } else if (p.nearest * h >= large) {
      exponentials(p, h, g);
      upward<top>(p, h, g);
    } else {
      const double a = p.farther_zero * h, b = p.nearer_zero * h, per = 1 / (a - b);
      Course at_b;
      single<top>(a, g);
      single<top>(b, at_b);
      for (int q = -1; q <= top; ++q) g[q] = (g[q] - at_b[q]) * per;
    }
  }

  /// Divided differences over a pair and one zero more, z = zero h, from those over the pair (g) and the one
  /// (f).
  template <int top>
  static void join(const Pair& p, double h, double z, const Course& f, Course& g) {
    const double q1 = p.linear * h + z, per = 1 / (z * q1 + p.constant * (h * h));
    for (int q = top; q >= -2; --q) g[q] = (f[q] - g[q - 1] - q1 * g[q]) * per;
  }

  template <int top>
  static void triple(const LoneResponse& r, double h, Course& g);

  /// Remainder of φ_top after division by s³ + p2 s² + p1 s + p0, whose zeros are small.
  template <int top>
  static void remainder(double p2, double p1, double p0, double& square, double& line, double& constant) {
    const double* c = per_factorial.data() + top;
    double b1 = c[18], b2 = 0, b3 = 0;
    for (int j = 17; j >= 3; --j) {
      const double b = (c[j] - p0 * b3 - p1 * b2) - p2 * b1;
      b3 = b2;
      b2 = b1;
      b1 = b;
    }
    square = (c[2] - p0 * b3 - p1 * b2) - p2 * b1;
    line = c[1] - p0 * b2 - p1 * b1;
    constant = c[0] - p0 * b1;
  }
};

// docs/model.md (3.7)
void LoneResponse::prepare(const LinearDoor& door) {
  conducting_ = door.conducting;
  moving_ = door.moving;
  stiff_ = moving_ && door.stiffness != 0;
  if (conducting_) {
    per_inductance_ = 1 / door.inductance;
    electric_ = door.resistance * per_inductance_;
  }
  if (moving_) {
    per_inertia_ = 1 / door.inertia;
    friction_ = door.damping * per_inertia_;
    spring_ = door.stiffness * per_inertia_;
    stiffness_ = door.stiffness;
  }
  if (!conducting_ || !moving_) {
    single_ = conducting_ ? -electric_ : -friction_;
    if (stiff_) Modes::of_polynomial(friction_, spring_, 0.25 * friction_ * friction_ - spring_, pair_);
    return;
  }
  coupling_ = door.torque_constant * per_inductance_ * per_inertia_;
  const double swing = door.torque_constant * coupling_, both = electric_ + friction_;
  free_constant_ = electric_ * friction_ + swing;
  if (!stiff_) {
    const double apart = 0.5 * (electric_ - friction_);
    Modes::of_polynomial(both, free_constant_, apart * apart - swing, pair_);
    return;
  }
  const double p2 = both, p1 = free_constant_ + spring_, p0 = electric_ * spring_;
  cubic_ = {p0, p1, p2};
  const double z = Modes::lone_zero(p2, p1, p0);
  single_ = z;
  // Divided out from the end that loses nothing: for the zero farthest from 0 that is the constant one.
  double q1 = p2 + z, q0 = p1 + z * q1;
  if (z * z > std::fabs(q0)) {
    q0 = -p0 / z;
    q1 = (q0 - p1) / z;
  }
  Modes::of_polynomial(q1, q0, 0.25 * q1 * q1 - q0, pair_);
  all_real_ = pair_.spread_2 >= 0;
  const double distance = std::fabs(z);
  farthest_ = std::max(distance, pair_.farthest);
  nearest_ = std::min(distance, pair_.nearest);
  if (!all_real_) return;
  first_ = pair_.farther_zero;
  last_ = pair_.nearer_zero;
  double between;
  if (distance > pair_.farthest) {
    between = first_;
    first_ = z;
  } else if (distance < pair_.nearest) {
    between = last_;
    last_ = z;
  } else {
    between = z;
  }
  middle_ = std::fabs(between);
  slow_ = Modes::of_zeros(between, last_);
  fast_ = Modes::of_zeros(first_, between);
}

/// g_q of three zeros, q = -2..top.
template <int top>
void LoneResponse::Modes::triple(const LoneResponse& r, double h, Course& g) {
  const double h2 = h * h;
  const double p0 = r.cubic_[0] * (h2 * h), p1 = r.cubic_[1] * h2, p2 = r.cubic_[2] * h;
  if (r.farthest_ * h <= small) {
    double square, line, constant;
    remainder<top>(p2, p1, p0, square, line, constant);
    g[top] = square;
    g[top - 1] = line - p2 * square;
    g[top - 2] = constant - p2 * line + (p2 * p2 - p1) * square;
    for (int q = top; q >= 1; --q) g[q - 3] = forcing(q) - p2 * g[q - 2] - p1 * g[q - 1] - p0 * g[q];
    return;
  }
  Course f;
  if (r.nearest_ * h < large) {
    // The zeros of a close pair are never known one by one: it stays together, since all lie on one side.
    const Pair* two = &r.pair_;
    double z = r.single_ * h;
    if (r.all_real_) {
      const bool two_are_fast = r.middle_ * h >= middle;
      two = two_are_fast ? &r.fast_ : &r.slow_;
      z = (two_are_fast ? r.last_ : r.first_) * h;
    }
    single<top>(z, f);
    if (two->farthest * h <= small) {
      series<top>(*two, h, g);
    } else {
      exponentials(*two, h, g);
      upward<top>(*two, h, g);
    }
    join<top>(*two, h, z, f, g);
    return;
  }
  const Pair& two = r.pair_;
  const double z = r.single_ * h;
  if (std::fabs(z * (z + two.linear * h) + two.constant * h2) < 0.25) {
    // All close: the series about their mean, where s³ - (3 e² + d²) s + 2 e (e² - d²).
    const double mean = p2 / -3, e = (two.mean * h - z) / 3, spread_2 = two.spread_2 * h2;
    const double slope = -(3 * e * e + spread_2);
    double square, line, constant;
    remainder<0>(0, slope, 2 * e * (e * e - spread_2), square, line, constant);
    const double scale = exponential(mean);
    g[0] = scale * square;
    g[-1] = scale * (line + mean * square);
    g[-2] = scale * (constant - slope * square + mean * (2 * line + mean * square));
  } else {
    exponentials(two, h, g);
    f[0] = exponential(z);
    f[-1] = z * f[0];
    f[-2] = z * f[-1];
    join<0>(two, h, z, f, g);
  }
  const double per = 1 / p0;
  for (int q = 1; q <= top; ++q) g[q] = (forcing(q) - g[q - 3] - p2 * g[q - 2] - p1 * g[q - 1]) * per;
}

namespace {

/// A push's coefficients as its transform has them, in units of h: m! x_m h^m.
template <int degree>
struct Scaled {
  double x[3];
  Scaled(const std::array<double, 3>& push, double h) {
    x[0] = push[0];
    if constexpr (degree > 0) {
      x[1] = push[1] * h;
      x[2] = 2 * push[2] * (h * h);
    }
  }
  /// What it makes of answers of which p[n] is that to a push that stays.
  double operator()(const double* p, int n) const {
    double sum = x[0] * p[n];
    if constexpr (degree > 0) sum += x[1] * p[n + 1] + x[2] * p[n + 2];
    return sum;
  }
};

bool stays(const std::array<double, 3>& push) { return push[1] == 0 && push[2] == 0; }

}  // namespace

template <int degree>
void LoneResponse::solve_current(const Push& push, double h, Increment& out) const {
  Course f;
  Modes::single<degree + 1>(single_ * h, f);
  const Scaled<degree> volts(push.volts, h);
  const double* p = &f[0];
  out.current = per_inductance_ * h * volts(p, 1);
}

template <int degree>
void LoneResponse::solve_rotor(const Push& push, double h, Increment& out) const {
  Course g;
  const Scaled<degree> torque(push.torque, h);
  if (!stiff_) {
    Modes::single<degree + 2>(single_ * h, g);
    const double* p = &g[1];
    out.speed = per_inertia_ * h * torque(p, 0);
    out.angle = per_inertia_ * (h * h) * torque(p, 1) + push.speed * h;
    return;
  }
  Modes::pair<degree + 1>(pair_, h, g);
  const double* p = &g[0];
  // The spring that the speed at the beginning loads.
  const double loading = spring_ * push.speed * h, way = push.speed * h * (p[0] + friction_ * h * p[1]);
  out.speed = h * (per_inertia_ * torque(p, 0) - loading * p[1]);
  out.angle = per_inertia_ * (h * h) * torque(p, 1) + way;
}

template <int degree>
void LoneResponse::solve_both(const Push& push, double h, Increment& out) const {
  Course g;
  if (stiff_) {
    Modes::triple<degree + 1>(*this, h, g);
  } else {
    Modes::pair<degree + 2>(pair_, h, g);
  }
  // Without a spring the zero that cancelled makes one integration more.
  const double* p = &g[stiff_ ? 0 : 1];
  const Scaled<degree> volts(push.volts, h), torque(push.torque, h);
  const double electric = electric_ * h, friction = friction_ * h, spring = spring_ * h * h;
  // Answers to volts and to torque, with (s² + c/J s + k/J) and (s + R/L) s before 1/P.
  double by_volts[degree + 1], by_torque[degree + 2];
  for (int m = 0; m <= degree; ++m) by_volts[m] = p[m - 1] + friction * p[m] + spring * p[m + 1];
  for (int m = 0; m <= degree + 1; ++m) by_torque[m] = p[m - 1] + electric * p[m];
  const double cross = coupling_ * h, h2 = h * h;
  out.current = h * (per_inductance_ * volts(by_volts, 0) - cross * torque(p, 0));
  out.speed = h * (cross * volts(p, 0) + per_inertia_ * torque(by_torque, 0));
  out.angle = h2 * (cross * volts(p, 1) + per_inertia_ * torque(by_torque, 1));
  if (!stiff_) {
    out.angle += push.speed * h;
    return;
  }
  // The spring that the speed at the beginning loads; the way in a form that does not compare the way without
  // a spring with what the spring takes off.
  const double loading = spring_ * push.speed * h, opposing = stiffness_ * push.speed * h;
  out.current += opposing * cross * h * p[1];
  out.speed -= loading * h * by_torque[1];
  out.angle += push.speed * h * (p[-1] + (electric + friction) * p[0] + free_constant_ * h2 * p[1]);
}

template <int degree>
void LoneResponse::solve_any(const Push& push, double h, Increment& out) const {
  if (conducting_ && moving_) {
    solve_both<degree>(push, h, out);
  } else if (conducting_) {
    solve_current<degree>(push, h, out);
  } else if (moving_) {
    solve_rotor<degree>(push, h, out);
  }
}

LoneResponse::Turning LoneResponse::turning() const {
  Turning out;
  if (!moving_ || (!conducting_ && !stiff_)) return out;
  if (pair_.spread_2 < 0) {
    out.swing = pair_.spread;
    out.growth = std::max(0.0, pair_.mean);
  } else {
    out.growth = std::max({0.0, pair_.farther_zero, pair_.nearer_zero});
  }
  if (conducting_ && stiff_) out.growth = std::max(out.growth, single_);
  return out;
}

void LoneResponse::solve(const Push& push, double h, Increment& out) const {
  out = {};
  if ((!conducting_ || stays(push.volts)) && (!moving_ || stays(push.torque))) {
    solve_any<0>(push, h, out);
  } else {
    solve_any<2>(push, h, out);
  }
}

}  // namespace latchwright::sim
