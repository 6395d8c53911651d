// SPDX-License-Identifier: GPL-3.0-or-later
// The modes of sim/lone_response.h against the matrix exponential of the same linear circuit (Eigen's, in
// long double), pushes included as states: 1, t, t²/2.
#include "sim/lone_response.h"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <string>
#include <unsupported/Eigen/MatrixFunctions>

#include "reference/compare/random_study.h"

using namespace latchwright;
using sim::Increment;
using sim::LinearDoor;
using sim::LoneResponse;
using sim::Push;
using tests::Draw;

namespace {

constexpr std::size_t push_count = 7;  // volts of three degrees, torque of three, speed

constexpr double Increment::*parts[] = {&Increment::current, &Increment::speed, &Increment::angle};

Push push_of(const std::array<double, push_count>& amounts) {
  return {.volts = {amounts[0], amounts[1], amounts[2]},
          .torque = {amounts[3], amounts[4], amounts[5]},
          .speed = amounts[6]};
}

/// Increments h seconds after each push of 1. Time in units of h; current, speed and angle as roots of
/// energies, so that the matrix is no larger than its fastest mode.
std::array<Increment, push_count> exact(const LinearDoor& d, double step) {
  using Matrix = Eigen::Matrix<long double, 10, 10>;
  enum { i, w, angle, volts, torque = volts + 3, one = torque + 3 };  // volts: of t², t, 1
  const long double h = step, L = d.inductance, J = d.inertia, k = d.stiffness, K = d.torque_constant;
  const long double root_l = std::sqrt(L), root_j = std::sqrt(J);
  const long double root_k = std::max(std::sqrt(std::fabs(k)), root_j / h);
  Matrix A = Matrix::Zero();
  for (const int chain : {volts, torque}) {
    A(chain + 1, chain) = 1;
    A(chain + 2, chain + 1) = 1;
  }
  if (d.conducting) {
    A(i, i) = -h * d.resistance / L;
    A(i, volts + 2) = 1;
  }
  if (d.conducting && d.moving) {
    A(i, w) = -h * K / (root_l * root_j);
    A(w, i) = -A(i, w);
  }
  if (d.moving) {
    A(w, w) = -h * d.damping / J;
    A(w, angle) = -h * k / (root_j * root_k);
    A(w, torque + 2) = 1;
    A(angle, w) = h * root_k / root_j;
    A(angle, one) = 1;
  }
  const Matrix end = A.exp();
  const int columns[push_count] = {volts + 2, volts + 1, volts, torque + 2, torque + 1, torque, one};
  const long double units[push_count] = {h / root_l, h * h / root_l, 2 * h * h * h / root_l,
                                         h / root_j, h * h / root_j, 2 * h * h * h / root_j,
                                         h * root_k};
  std::array<Increment, push_count> out;
  for (std::size_t n = 0; n < push_count; ++n) {
    const auto value = [&](const Matrix& of, int row, long double root) {
      return static_cast<double>(of(row, columns[n]) * units[n] / root);
    };
    if (d.conducting) {
      out[n].current = value(end, i, root_l);
    }
    if (d.moving) {
      out[n].speed = value(end, w, root_j);
      out[n].angle = value(end, angle, root_k);
    }
  }
  return out;
}

double fastest_rate(const LinearDoor& d) {
  double rate = 1e-3;
  if (d.conducting) rate = std::max(rate, d.resistance / d.inductance);
  if (d.moving) {
    rate = std::max({rate, d.damping / d.inertia, std::sqrt(std::fabs(d.stiffness) / d.inertia)});
    if (d.conducting) rate = std::max(rate, d.torque_constant / std::sqrt(d.inductance * d.inertia));
  }
  return rate;
}

/// Largest error of any part after h, over the largest of that part within that time: after each push of 1,
/// and after all pushes together.
double error_of(const LinearDoor& door, double h, Draw& draw) {
  LoneResponse response;
  response.prepare(door);
  const auto want = exact(door, h);
  auto largest = want;
  for (const double share : {1e-6, 1e-3, 0.03, 0.2, 0.5, 0.8, 1.0}) {
    const auto inside = share < 1 ? exact(door, share * h) : want;
    for (std::size_t n = 0; n < push_count; ++n) {
      for (const auto part : parts)
        largest[n].*part = std::max(std::fabs(largest[n].*part), std::fabs(inside[n].*part));
    }
  }
  double worst = 0;
  Increment have;
  std::array<double, push_count> all{};
  for (std::size_t n = 0; n < push_count; ++n) {
    std::array<double, push_count> amounts{};
    amounts[n] = 1;
    response.solve(push_of(amounts), h, have);
    for (const auto part : parts) {
      const double error = std::fabs(have.*part - want[n].*part);
      if (!(error <= 0)) worst = std::max(worst, largest[n].*part > 0 ? error / (largest[n].*part) : 1.0);
      if (std::isnan(error)) return error;
    }
    all[n] = draw.between(-1, 1) * (n < 3 ? 12 : n < 6 ? 5e-3 : 100) / (n < 6 ? std::pow(h, n % 3) : 1);
  }
  response.solve(push_of(all), h, have);
  for (const auto part : parts) {
    double sum = 0, scale = 0;
    for (std::size_t n = 0; n < push_count; ++n) {
      sum += all[n] * (want[n].*part);
      scale += std::fabs(all[n]) * (largest[n].*part);
    }
    if (scale > 0) worst = std::max(worst, std::fabs(have.*part - sum) / scale);
  }
  return worst;
}

enum class Spring { none, stiff, tipping, tiny };

LinearDoor draw_door(Draw& draw, bool conducting, bool moving, Spring spring) {
  LinearDoor d{.conducting = conducting, .moving = moving};
  d.resistance = draw.chance(0.2) ? draw.around(5, 1e4) : draw.around(2, 5);
  d.inductance = draw.chance(0.3) ? draw.around(1e-6, 0.1) : draw.around(5e-4, 5e-3);
  d.torque_constant = draw.around(5e-3, 20e-3);
  d.inertia = draw.around(3e-7, 5e-6);
  d.damping = draw.chance(0.3) ? 0 : draw.around(1e-7, 1e-4);
  if (spring == Spring::stiff) d.stiffness = draw.around(1e-5, 5e-2);
  if (spring == Spring::tipping) d.stiffness = -draw.around(1e-6, 1e-3);
  if (spring == Spring::tiny) d.stiffness = draw.around(1e-25, 1e-6) * (draw.chance(0.5) ? 1 : -1);
  return d;
}

/// A time from far below the fastest mode's to many of the slowest, but not so long that the exponential of
/// the fastest spoils the reference.
double draw_time(Draw& draw, const LinearDoor& d) {
  const double fastest = fastest_rate(d);
  const double h = draw.chance(0.3) ? draw.around(1e-9, 3) : draw.around(1e-3, 1e6) / fastest;
  double longest = std::min(10.0, 1e7 / fastest);
  // What grows must stay a number.
  if (d.stiffness < 0) longest = std::min(longest, 50 / std::sqrt(-d.stiffness / d.inertia));
  return std::min(h, longest);
}

/// 1, or beside it by so little that two zeros are hard to tell apart.
double beside(Draw& draw) {
  constexpr double by[] = {0, 1e-14, 1e-12, 1e-10, 1e-8, 1e-6, 1e-4, 1e-3, 1e-2, 0.1};
  return 1 + by[draw.below(10)] * (draw.chance(0.5) ? 1 : -1);
}

// Worst of 3000 draws of each kind against 113 bits: 2e-13; the reference in long double is worse than that.
constexpr double permitted = 2e-11;

}  // namespace

TEST_CASE("lone response: the matrix exponential, all that may conduct, move and spring", "[sim]") {
  struct Row {
    const char* name;
    bool conducting, moving;
    Spring spring;
  };
  const Row rows[] = {{"current alone", true, false, Spring::none},
                      {"rotor alone", false, true, Spring::none},
                      {"rotor and spring", false, true, Spring::stiff},
                      {"rotor and tipping spring", false, true, Spring::tipping},
                      {"rotor and tiny spring", false, true, Spring::tiny},
                      {"current and rotor", true, true, Spring::none},
                      {"all", true, true, Spring::stiff},
                      {"all, tipping", true, true, Spring::tipping},
                      {"all, tiny spring", true, true, Spring::tiny}};
  for (const Row& row : rows) {
    double worst = 0;
    for (std::uint64_t trial = 0; trial < 250; ++trial) {
      Draw draw(17000 + trial);
      const LinearDoor door = draw_door(draw, row.conducting, row.moving, row.spring);
      const double h = draw_time(draw, door);
      const double error = error_of(door, h, draw);
      if (!(error < worst)) worst = error;
    }
    CAPTURE(row.name);
    CHECK(worst < permitted);
  }
}

TEST_CASE("lone response: the matrix exponential, zeros that meet", "[sim]") {
  struct Row {
    const char* name;
    LinearDoor (*draw)(Draw&);
  };
  const Row rows[] = {
      // (R/L - c/J)² = 4 K²/(LJ)
      {"current and rotor",
       [](Draw& draw) {
         LinearDoor d = draw_door(draw, true, true, Spring::none);
         d.damping = draw.chance(0.5) ? 0 : d.torque_constant * std::sqrt(d.inertia / d.inductance) / 3;
         d.resistance = 2 * d.torque_constant * std::sqrt(d.inductance / d.inertia) * beside(draw) +
                        d.damping / d.inertia * d.inductance;
         return d;
       }},
      // c² = 4 k J
      {"rotor and spring",
       [](Draw& draw) {
         LinearDoor d = draw_door(draw, false, true, Spring::stiff);
         d.damping = 2 * std::sqrt(d.stiffness * d.inertia) * beside(draw);
         return d;
       }},
      // Without friction R/L, k/J and K²/(LJ) follow from the zeros, here of which two or three meet.
      {"all", [](Draw& draw) {
         LinearDoor d = draw_door(draw, true, true, Spring::none);
         const double x = draw.around(1, 1e5), y = x * beside(draw);
         const double z = draw.chance(0.5) ? x * beside(draw) : draw.around(0.1, 1e6);
         d.damping = 0;
         d.resistance = (x + y + z) * d.inductance;
         d.stiffness = x * y * z / (x + y + z) * d.inertia;
         d.torque_constant =
             std::sqrt((x * y + y * z + z * x - d.stiffness / d.inertia) * d.inductance * d.inertia);
         return d;
       }}};
  for (const Row& row : rows) {
    double worst = 0;
    for (std::uint64_t trial = 0; trial < 250; ++trial) {
      Draw draw(23000 + trial);
      const LinearDoor door = row.draw(draw);
      const double h = draw_time(draw, door);
      const double error = error_of(door, h, draw);
      if (!(error < worst)) worst = error;
    }
    CAPTURE(row.name);
    CHECK(worst < permitted);
  }
}

TEST_CASE("lone response: closed forms of single pushes", "[sim]") {
  Increment have;
  LoneResponse response;
  SECTION("current after volts that stay, i = v / R (1 - exp(-R t / L))") {
    response.prepare({.conducting = true, .inductance = 1e-6, .resistance = 1e4});
    for (double h = 1e-15; h < 5; h *= 7) {
      CAPTURE(h);
      response.solve({.volts = {12, 0, 0}, .torque = {1, 1, 1}, .speed = 9}, h, have);
      CHECK(have.current == Approx(-12e-4 * std::expm1(-1e10 * h)).epsilon(1e-13));
      CHECK((have.speed == 0 && have.angle == 0));
    }
  }
  SECTION("current after volts that rise lags by L/R, however long that lasts") {
    response.prepare({.conducting = true, .inductance = 1e-6, .resistance = 1e4});
    response.solve({.volts = {0, 4, 0}}, 1, have);
    CHECK(have.current == Approx(4e-4 * (1 - 1e-10)).epsilon(1e-14));
  }
  SECTION("a free rotor, double zero at 0") {
    response.prepare({.moving = true, .inertia = 1.2e-6});
    for (const double h : {1e-9, 1e-3, 3.0}) {
      CAPTURE(h);
      response.solve({.volts = {9, 9, 9}, .torque = {2.4e-3, 0, 1.2e-3}, .speed = 300}, h, have);
      CHECK(have.speed == Approx(2000 * h + 1000 * h * h * h / 3).epsilon(1e-14));
      CHECK(have.angle == Approx(300 * h + 1000 * h * h + 1000 * std::pow(h, 4) / 12).epsilon(1e-14));
      CHECK(have.current == 0);
    }
  }
  SECTION("an undamped swing, angle = w0 sin(t sqrt(k/J)) / sqrt(k/J)") {
    response.prepare({.moving = true, .inertia = 1e-6, .stiffness = 1e-2});
    for (const double h : {1e-6, 0.009, 0.011, 0.3}) {
      CAPTURE(h);
      response.solve({.speed = 200}, h, have);
      CHECK(have.angle == Approx(2 * std::sin(100 * h)).epsilon(1e-13));
      CHECK(have.speed == Approx(-400 * std::pow(std::sin(50 * h), 2)).epsilon(1e-13));
    }
  }
  SECTION("at rest in the end, K i = k angle and R i = v") {
    response.prepare({.conducting = true,
                      .moving = true,
                      .inductance = 1e-3,
                      .resistance = 4,
                      .torque_constant = 1e-2,
                      .inertia = 1e-6,
                      .stiffness = 2e-2});
    response.solve({.volts = {12, 0, 0}}, 60, have);
    CHECK(have.current == Approx(3).epsilon(1e-14));
    CHECK(have.angle == Approx(1.5).epsilon(1e-14));
    CHECK(have.speed == Approx(0).margin(1e-12));
  }
  SECTION("no time") {
    response.prepare({.conducting = true,
                      .moving = true,
                      .inductance = 1e-3,
                      .resistance = 4,
                      .torque_constant = 1e-2,
                      .inertia = 1e-6,
                      .stiffness = 2e-2});
    response.solve({.volts = {12, 1, 1}, .torque = {1e-3, 1, 1}, .speed = 30}, 0, have);
    CHECK((have.current == 0 && have.speed == 0 && have.angle == 0));
  }
}

TEST_CASE("lone response: one step or two that lead to the same moment", "[sim]") {
  // The second step begins with what the first has left, which no reference can spoil however fast a mode is.
  double worst = 0;
  for (std::uint64_t trial = 0; trial < 500; ++trial) {
    Draw draw(31000 + trial);
    const LinearDoor d = draw_door(draw, true, true, trial % 2 != 0 ? Spring::stiff : Spring::none);
    const double h = draw.around(1e-6, 1), first = h * draw.between(0.05, 0.95);
    const Push push{
        .volts = {12, 3 / h, 2 / (h * h)}, .torque = {1e-3, 2e-3 / h, -1e-3 / (h * h)}, .speed = 50};
    LoneResponse response;
    response.prepare(d);
    Increment whole, a, b;
    response.solve(push, h, whole);
    response.solve(push, first, a);
    const auto later = [first](const std::array<double, 3>& p) {
      return std::array<double, 3>{p[0] + first * (p[1] + first * p[2]), p[1] + 2 * first * p[2], p[2]};
    };
    Push rest{.volts = later(push.volts), .torque = later(push.torque), .speed = push.speed + a.speed};
    rest.volts[0] -= d.resistance * a.current + d.torque_constant * a.speed;
    rest.torque[0] += d.torque_constant * a.current - d.damping * a.speed - d.stiffness * a.angle;
    response.solve(rest, h - first, b);
    for (const auto part : {&Increment::current, &Increment::speed, &Increment::angle}) {
      const double scale = std::max({std::fabs(whole.*part), std::fabs(a.*part), std::fabs(b.*part)});
      worst = std::max(worst, std::fabs(a.*part + b.*part - whole.*part) / scale);
    }
  }
  CHECK(worst < 1e-9);
}
