// SPDX-License-Identifier: GPL-3.0-or-later
#include "physics/fuse_bounds.h"

#include <algorithm>
#include <cmath>

#include "base/failure.h"
#include "base/infinity.h"

namespace latchwright::physics {
namespace {

using base::infinity;

}  // namespace

QuickestFuse::Moments QuickestFuse::moments_of(double h) {
  const double m0 = -std::expm1(-h);
  if (h < 0.01) {
    // The closed forms below lose digits here.
    return {h, m0, h * (1.0 / 2 - h * (1.0 / 6 - h * (1.0 / 24 - h / 120))),
            h * (1.0 / 3 - h * (1.0 / 12 - h * (1.0 / 60 - h / 360)))};
  }
  const double m1 = 1 - m0 / h;
  return {h, m0, m1, 1 - 2 * m1 / h};
}

QuickestFuse::QuickestFuse(double tau_s, double derated_A) : tau_(tau_s), derated_A_(derated_A) {}

// docs/model.md (7.2), exact for a steady current; below for one that runs straight.
void QuickestFuse::advance(double current_A, double dt) {
  const double multiple = current_A / derated_A_;
  const double end = multiple * multiple;
  y_ = tau_ > 0 ? y_ + (y_ - end) * std::expm1(-dt / tau_) : end;
  peak_ = std::max(peak_, y_);
}

void QuickestFuse::advance(double from_A, double to_A, double dt) {
  const double m = from_A / derated_A_;
  const double change = (to_A - from_A) / derated_A_;
  if (tau_ > 0) {
    if (const double h = dt / tau_; h != moments_.h) moments_ = moments_of(h);
    const auto [h, m0, m1, m2] = moments_;
    y_ += -y_ * m0 + m * m * m0 + 2 * m * change * m1 + change * change * m2;
    peak_ = std::max(peak_, y_);
  } else {
    y_ = (m + change) * (m + change);
    peak_ = std::max({peak_, y_, m * m});
  }
}

// docs/model.md (7.4)
double QuickestFuse::margin() const { return peak_ > 0 ? std::sqrt(opening_level / peak_) : infinity; }

FuseBounds::FuseBounds(const model::Fuse& fuse, const model::FuseFamily& family) : rating_A_(fuse.rating_A) {
  base::require(
      family.min_s.size() == family.multiples.size() && family.max_s.size() == family.multiples.size(),
      "a fuse family's gates differ in number");
  double tau = infinity;  // docs/model.md (7.3)
  for (std::size_t k = 0; k < family.multiples.size(); ++k) {
    const double m = family.multiples[k];
    const double square = m * m;
    if (family.min_s[k] && m > carry_multiple) {
      tau = std::min(tau, *family.min_s[k] / -std::log1p(-opening_level / square));
    }
    if (family.max_s[k]) slowest_.push_back({m * rating_A_, *family.max_s[k]});
  }
  // Without a shortest time the standard lets a fuse open at once.
  tau_ = tau < infinity ? tau : 0;
  std::sort(slowest_.begin(), slowest_.end(),
            [](const Gate& a, const Gate& b) { return a.current_A < b.current_A; });
  if (family.derating) derating_.emplace(family.derating->T_C, family.derating->factor);
}

// docs/model.md (7.1)
double FuseBounds::derating(double T_C) const {
  if (derating_) return (*derating_)(T_C);
  return std::clamp(1 - 0.002 * (T_C - 23), 0.5, 1.0);
}

double FuseBounds::quickest_time(double current_A, double ambient_C) const {
  const double multiple = current_A / (rating_A_ * derating(ambient_C));
  const double square = multiple * multiple;
  return square > opening_level ? -tau_ * std::log1p(-opening_level / square) : infinity;
}

double FuseBounds::slowest_time(double current_A) const {
  if (slowest_.empty() || current_A < slowest_.front().current_A) return infinity;
  const Gate& last = slowest_.back();
  if (current_A >= last.current_A) {
    const double ratio = last.current_A / current_A;
    return last.time_s * ratio * ratio;
  }
  const auto above = std::upper_bound(slowest_.begin(), slowest_.end(), current_A,
                                      [](double I, const Gate& gate) { return I < gate.current_A; });
  const auto below = above - 1;
  const double share = std::log(current_A / below->current_A) / std::log(above->current_A / below->current_A);
  return below->time_s * std::pow(above->time_s / below->time_s, share);
}

}  // namespace latchwright::physics
