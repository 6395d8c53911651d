// SPDX-License-Identifier: GPL-3.0-or-later
// The inverted Laplace transforms of sim/linear_response.h against the matrix exponential of the same linear
// circuit (Eigen's, in long double), pushes included as states: 1, t, t².
#include "sim/linear_response.h"

#include <Eigen/Dense>
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <unsupported/Eigen/MatrixFunctions>
#include <vector>

#include "reference/compare/random_study.h"

using namespace latchwright;
using sim::Increment;
using sim::LinearDoor;
using sim::Push;
using tests::Draw;

namespace {

using Matrix = Eigen::Matrix<long double, Eigen::Dynamic, Eigen::Dynamic>;
using Doors = std::vector<LinearDoor>;
using Pushes = std::vector<Push>;

/// Increments after h seconds: time in units of h, three states a door and then 1, t, t².
std::vector<Increment> exact(const Doors& doors, double shared_ohm, double h, const Pushes& pushes) {
  const auto count = static_cast<Eigen::Index>(doors.size());
  const Eigen::Index one = 3 * count;
  Matrix A = Matrix::Zero(one + 3, one + 3);
  A(one + 1, one) = 1;
  A(one + 2, one + 1) = 2;
  for (Eigen::Index k = 0; k < count; ++k) {
    const LinearDoor& d = doors[static_cast<std::size_t>(k)];
    const Push& push = pushes[static_cast<std::size_t>(k)];
    const Eigen::Index i = 3 * k, w = i + 1, angle = i + 2;
    double power = h;
    for (Eigen::Index n = 0; n < 3; ++n, power *= h) {
      const auto of = static_cast<std::size_t>(n);
      if (d.conducting) A(i, one + n) = push.volts[of] * power / d.inductance;
      if (d.moving) A(w, one + n) = push.torque[of] * power / d.inertia;
    }
    if (d.conducting) {
      for (Eigen::Index other = 0; other < count; ++other) {
        if (doors[static_cast<std::size_t>(other)].conducting)
          A(i, 3 * other) -= h * shared_ohm / d.inductance;
      }
      A(i, i) -= h * d.resistance / d.inductance;
      if (d.moving) A(i, w) -= h * d.torque_constant / d.inductance;
    }
    if (d.moving) {
      if (d.conducting) A(w, i) = h * d.torque_constant / d.inertia;
      A(w, w) = -h * d.damping / d.inertia;
      A(w, angle) = -h * d.stiffness / d.inertia;
      A(angle, w) = h;
      A(angle, one) = h * push.speed;
    }
  }
  const Matrix end = Matrix(A.exp()).col(one);
  std::vector<Increment> out(doors.size());
  for (Eigen::Index k = 0; k < count; ++k) {
    out[static_cast<std::size_t>(k)] = {static_cast<double>(end(3 * k)), static_cast<double>(end(3 * k + 1)),
                                        static_cast<double>(end(3 * k + 2))};
  }
  return out;
}

constexpr double Increment::*parts[] = {&Increment::current, &Increment::speed, &Increment::angle};
constexpr std::size_t part_count = 3;

// The header says 3e-8.
constexpr double as_printed = 3.5e-8;

enum class Kind { decaying, oscillating, growing };

Doors draw_doors(Draw& draw, std::size_t count, double h, Kind kind) {
  Doors doors(count);
  for (LinearDoor& d : doors) {
    d.conducting = draw.chance(0.85);
    d.moving = kind != Kind::decaying || draw.chance(0.85);
    d.resistance = draw.around(1, 6);
    d.torque_constant = draw.around(6e-3, 16e-3);
    d.inertia = draw.around(3e-7, 4e-6);
    // Friction far below what would swing with the current.
    d.damping = draw.chance(0.3) ? 0 : draw.around(1e-8, 1e-6);
    // Rotor and current do not swing: 4 K²/(J L) below (R/L)².
    const double longest =
        d.resistance * d.resistance * d.inertia / (4 * d.torque_constant * d.torque_constant);
    d.inductance = std::min(draw.around(1e-6, 4e-3), 0.5 * longest);
    if (kind == Kind::decaying) continue;
    const double turn = sim::LinearResponse::largest_turn * std::pow(draw.between(0, 1), 0.3) / h;
    d.stiffness = (kind == Kind::growing ? -1 : 1) * turn * turn * d.inertia;
  }
  return doors;
}

/// The largest error of any part after pushes of one degree, over the largest of that part within the step.
double worst_error(std::uint64_t seed, Kind kind, std::size_t degree) {
  double worst = 0;
  for (std::uint64_t trial = 0; trial < 60; ++trial) {
    Draw draw(seed * 1000 + trial);
    const std::size_t count = 1 + trial % 5;
    const double h = draw.around(1e-7, 1);
    const Doors doors = draw_doors(draw, count, h, kind);
    const double shared_ohm = draw.around(5e-3, 0.6);
    Pushes pushes(count);
    for (Push& push : pushes) {
      push.volts[degree] = draw.between(-1, 1);
      if (draw.chance(0.5)) push.torque[degree] = draw.between(-1, 1) * 5e-3;
    }
    sim::LinearResponse response;
    response.prepare(doors.data(), count, shared_ohm, h);
    std::vector<Increment> have(count);
    response.solve(pushes.data(), have.data());
    const auto want = exact(doors, shared_ohm, h, pushes);
    Increment largest;
    for (const double share : {1e-5, 1e-4, 1e-3, 1e-2, 0.1, 0.25, 0.5, 0.75, 1.0}) {
      const auto inside = share < 1 ? exact(doors, shared_ohm, share * h, pushes) : want;
      for (const auto part : parts) {
        for (const Increment& one : inside) largest.*part = std::max(largest.*part, std::fabs(one.*part));
      }
    }
    for (std::size_t k = 0; k < count; ++k) {
      for (const auto part : parts) {
        if (largest.*part > 0)
          worst = std::max(worst, std::fabs(have[k].*part - want[k].*part) / (largest.*part));
      }
      // What stays must stay exactly.
      if (!doors[k].conducting) CHECK(have[k].current == 0);
      if (!doors[k].moving) CHECK((have[k].speed == 0 && have[k].angle == 0));
    }
  }
  return worst;
}

}  // namespace

TEST_CASE("linear response: the exponential of a lone standing door", "[sim]") {
  // i = v / R (1 - exp(-R t / L)); shared and own resistance in series.
  const LinearDoor door{.conducting = true, .inductance = 1.2e-3, .resistance = 2};
  const Push push{.volts = {12, 0, 0}};
  for (double h = 1e-7; h < 2; h *= 10) {
    CAPTURE(h);
    sim::LinearResponse response;
    response.prepare(&door, 1, 0.1, h);
    Increment have;
    response.solve(&push, &have);
    const double rate = 2.1 / 1.2e-3;
    CHECK(have.current == Approx(-12 / 2.1 * std::expm1(-rate * h)).epsilon(as_printed));
  }
}

TEST_CASE("linear response: a speed carries the angle", "[sim]") {
  const LinearDoor door{.moving = true, .inertia = 1.2e-6};
  for (const double h : {1e-7, 1e-3, 1.0}) {
    CAPTURE(h);
    const Push push{.torque = {2.4e-3, 0, 0}, .speed = 300};
    sim::LinearResponse response;
    response.prepare(&door, 1, 0.1, h);
    Increment have;
    response.solve(&push, &have);
    CHECK(have.current == 0);
    CHECK(have.speed == Approx(2000 * h).epsilon(as_printed));
    CHECK(have.angle == Approx(300 * h + 1000 * h * h).epsilon(1e-7));
  }
}

TEST_CASE("linear response: the matrix exponential of one to five doors", "[sim]") {
  struct Row {
    Kind kind;
    const char* name;
    double permitted[3];  // after pushes that stay, grow with t, grow with t²
  };
  // The header's figures are for what a lasting push drives directly (the tests above). Each integration
  // between a push and what it moves, and each degree of the push, costs about 3.3 times more: by it the
  // increment grows smaller beside the push. Regression values, a quarter above the largest of 300 draws.
  const Row rows[] = {{Kind::decaying, "decaying", {6e-7, 1.8e-6, 5.5e-6}},
                      {Kind::oscillating, "oscillating", {7e-6, 1e-5, 2e-5}},
                      {Kind::growing, "growing", {1e-6, 1.6e-6, 5.5e-6}}};
  for (const Row& row : rows) {
    for (std::size_t degree = 0; degree < 3; ++degree) {
      CAPTURE(row.name, degree);
      CHECK(worst_error(7, row.kind, degree) < row.permitted[degree]);
    }
  }
}

TEST_CASE("linear response: the same digits whatever the width of a register", "[sim]") {
  for (std::uint64_t trial = 0; trial < 60; ++trial) {
    Draw draw(9000 + trial);
    const std::size_t count = 1 + trial % 5;
    const double h = draw.around(1e-6, 0.1), shared_ohm = draw.around(5e-3, 0.6);
    const Doors doors = draw_doors(draw, count, h, static_cast<Kind>(trial % 3));
    Pushes pushes(count);
    for (Push& push : pushes) {
      for (std::size_t degree = 0; degree < 3; ++degree) {
        push.volts[degree] = draw.between(-1, 1);
        push.torque[degree] = draw.between(-1, 1) * 5e-3;
      }
    }
    std::vector<Increment> narrow(count);
    for (int width = 2; width <= sim::LinearResponse::widest(); width *= 2) {
      CAPTURE(trial, width);
      sim::LinearResponse response(width);
      response.prepare(doors.data(), count, shared_ohm, h);
      std::vector<Increment> have(count);
      response.solve(pushes.data(), have.data());
      if (width == 2) narrow = have;
      for (std::size_t k = 0; k < count; ++k) {
        for (const auto part : parts) CHECK(have[k].*part == narrow[k].*part);
      }
    }
  }
}
