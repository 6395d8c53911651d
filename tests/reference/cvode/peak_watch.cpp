// SPDX-License-Identifier: GPL-3.0-or-later
#include "reference/cvode/peak_watch.h"

#include <algorithm>
#include <cmath>

namespace latchwright::tests::cvode {

namespace {

constexpr std::size_t shown_each = 3;

}  // namespace

PeakWatch::PeakWatch(const Network& network) : network_(network), peaks_(network.doors.size()) {}

void PeakWatch::show(const double* y, std::vector<double>& out) const {
  out.resize(network_.doors.size() * shown_each);
  for (std::size_t k = 0; k < network_.doors.size(); ++k) {
    const double* s = y + k * layout_.stride;
    out[k * shown_each] = layout_.heat > 0 ? s[0] : 0.0;
    out[k * shown_each + 1] = network_.doors[k].hot_coil(s + layout_.heat);
    out[k * shown_each + 2] = s[layout_.heat + pill];
  }
}

void PeakWatch::take(const std::vector<double>& shown) {
  for (std::size_t k = 0; k < peaks_.size(); ++k) {
    peaks_[k].current = std::max(peaks_[k].current, shown[k * shown_each]);
    peaks_[k].coil = std::max(peaks_[k].coil, shown[k * shown_each + 1]);
    peaks_[k].pill = std::max(peaks_[k].pill, shown[k * shown_each + 2]);
  }
}

void PeakWatch::begin(System& system, const Layout& layout, double t, const double* y) {
  system_ = &system;
  layout_ = layout;
  has_before_ = false;
  last_.t = t;
  last_.y.assign(y, y + network_.doors.size() * layout.stride);
  show(y, last_.shown);
  take(last_.shown);
}

double PeakWatch::between(const Moment& a, const Moment& b, std::size_t place) {
  const std::size_t size = a.y.size();
  rate_a_.resize(size);
  rate_b_.resize(size);
  system_->rates(a.y.data(), rate_a_.data());
  system_->rates(b.y.data(), rate_b_.data());
  show(rate_a_.data(), shown_a_);
  show(rate_b_.data(), shown_b_);
  const double h = b.t - a.t;
  const double rise = b.shown[place] - a.shown[place], left = h * shown_a_[place],
               right = h * shown_b_[place];
  // value(u) = a + left u + c u² + d u³
  const double c = 3 * rise - 2 * left - right, d = left + right - 2 * rise;
  double largest = std::max(a.shown[place], b.shown[place]);
  const double root = c * c - 3 * d * left;
  if (root < 0) return largest;
  const double q = -(c + std::copysign(std::sqrt(root), c));
  for (const double u : {q / (3 * d), left / q}) {
    if (u > 0 && u < 1) largest = std::max(largest, a.shown[place] + u * (left + u * (c + u * d)));
  }
  return largest;
}

void PeakWatch::step(double t, const double* y) {
  now_.t = t;
  now_.y.assign(y, y + last_.y.size());
  show(y, now_.shown);
  take(now_.shown);
  for (std::size_t place = 0; has_before_ && place < now_.shown.size(); ++place) {
    const double top = last_.shown[place];
    if (!(now_.shown[place] < top && top >= before_.shown[place])) continue;
    if (top == before_.shown[place] && before_.t == last_.t) continue;
    Peaks& peak = peaks_[place / shown_each];
    double& kept = place % shown_each == 0 ? peak.current : place % shown_each == 1 ? peak.coil : peak.pill;
    kept = std::max({kept, between(before_, last_, place), between(last_, now_, place)});
  }
  std::swap(before_, last_);
  std::swap(last_, now_);
  has_before_ = true;
}

}  // namespace latchwright::tests::cvode
