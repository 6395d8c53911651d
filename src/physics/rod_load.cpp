// SPDX-License-Identifier: GPL-3.0-or-later
#include "physics/rod_load.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace latchwright::physics {

namespace {

base::LinearTable scaled_table(const model::RodForce& force, double factor) {
  if (force.shape != model::RodShape::table) return base::LinearTable({0.0}, {0.0});
  std::vector<double> y = force.force;
  for (double& value : y) value *= factor;
  return base::LinearTable(force.x, std::move(y));
}

}  // namespace

// docs/model.md (3.3)
double cold_multiplier(double cold_factor, double ambient_C, double cold_C) {
  if (cold_C >= 23) return 1;
  return 1 + (cold_factor - 1) * std::clamp((23 - ambient_C) / (23 - cold_C), 0.0, 1.0);
}

RodLoad::RodLoad(const model::RodForce& force, double stroke, double ambient_C, double cold_C)
    : shape_(force.shape),
      stroke_(stroke),
      peak_(force.peak * cold_multiplier(force.cold_factor, ambient_C, cold_C)),
      friction_(force.friction * cold_multiplier(force.cold_factor, ambient_C, cold_C)),
      table_(scaled_table(force, cold_multiplier(force.cold_factor, ambient_C, cold_C))),
      largest_(peak_) {
  if (shape_ == model::RodShape::table) {
    // Straight lines: the largest force stands at a point or at the end of the travel.
    largest_ = std::max(table_(0), table_(stroke_));
    for (const double x : force.x) {
      if (x <= stroke_) largest_ = std::max(largest_, table_(x));
    }
  }
}

// docs/model.md (3.2)
double RodLoad::varying_force(double x) const {
  if (shape_ == model::RodShape::table) return table_(x);
  const double held = std::clamp(x, 0.0, stroke_);
  return friction_ + (peak_ - friction_) * std::sin(2 * std::numbers::pi * held / stroke_);
}

RodLoad::Piece RodLoad::varying_piece(double x) const {
  if (shape_ == model::RodShape::table) {
    const auto [force, slope] = table_.at(x);
    return {force, slope, table_.next_point(x)};
  }
  if (x >= stroke_) return {friction_, 0, std::numeric_limits<double>::infinity()};
  const double turn = 2 * std::numbers::pi / stroke_;
  const double phase = turn * std::max(0.0, x);
  return {friction_ + (peak_ - friction_) * std::sin(phase), (peak_ - friction_) * turn * std::cos(phase),
          stroke_, true};
}

double RodLoad::work(double a, double b) const {
  switch (shape_) {
    case model::RodShape::steady:
      return peak_ * (b - a);
    case model::RodShape::table:
      return table_.integral(a, b);
    case model::RodShape::over_centre:
      break;
  }
  const double turn = 2 * std::numbers::pi / stroke_;
  const double from = turn * std::clamp(a, 0.0, stroke_), to = turn * std::clamp(b, 0.0, stroke_);
  return friction_ * (b - a) + (peak_ - friction_) * (std::cos(from) - std::cos(to)) / turn;
}

}  // namespace latchwright::physics
