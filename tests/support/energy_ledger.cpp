// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/energy_ledger.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>

namespace latchwright::tests {

namespace {

// Gauss–Legendre, 5 points on -1..1 (Abramowitz & Stegun table 25.4): exact to degree 9.
constexpr double nodes[] = {-0.906179845938664, -0.538469310105683, 0, 0.538469310105683, 0.906179845938664};
constexpr double weights[] = {0.236926885056189, 0.478628670499366, 0.568888888888889, 0.478628670499366,
                              0.236926885056189};

void add(Energy& to, const Energy& what, double factor) {
  to.supply += factor * what.supply;
  to.shared += factor * what.shared;
  to.other_load += factor * what.other_load;
  to.branches += factor * what.branches;
  to.rod += factor * what.rod;
  to.bump += factor * what.bump;
  to.to_ambient += factor * what.to_ambient;
}

double difference(const Energy& a, const Energy& b) {
  return std::fabs(a.supply - b.supply) + std::fabs(a.shared - b.shared) +
         std::fabs(a.branches - b.branches) + std::fabs(a.rod - b.rod) + std::fabs(a.bump - b.bump) +
         std::fabs(a.to_ambient - b.to_ambient);
}

}  // namespace

double EnergyLedger::stored_at(const sim::State& full) const {
  double sum = 0;
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    for (std::size_t n = 0; n < physics::heat_nodes; ++n) {
      const double capacity = circuit_.doors[k].heat.capacity(static_cast<physics::HeatNode>(n));
      if (capacity > 0) {
        sum += capacity * (full[k * sim::slots + sim::slot_temperature + n] - circuit_.at.ambient_C);
      }
    }
  }
  return sum;
}

Energy EnergyLedger::power(const sim::State& full, bool driven, bool unlocking) {
  Energy p;
  double total = 0;
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    const auto& door = circuit_.doors[k];
    const double* s = full.data() + k * sim::slots;
    p.to_ambient += (s[sim::slot_temperature + physics::housing] - circuit_.at.ambient_C) *
                    door.heat.housing_to_ambient();
    if (!driven) continue;
    const double i = s[sim::slot_current], w = s[sim::slot_speed];
    total += i;
    p.branches += door.branch_ohm * i * i;
    const double x = door.rod_per_rad * (s[sim::slot_angle] - door.takeup_rad);
    if (x < 0) continue;
    const auto& load = unlocking ? door.unlock_load : door.lock_load;
    const double rod = load.force(x) * door.rod_per_rad * w;
    p.rod += rod;
    peak_rod_power_ = std::max(peak_rod_power_, rod);
    lowest_rod_power_ = std::min(lowest_rod_power_, rod);
    if (x >= door.stroke) {
      const double bump = door.stop_stiffness * (x - door.stroke) + door.stop_damping * door.rod_per_rad * w;
      p.bump += std::max(0.0, bump) * door.rod_per_rad * w;
    }
  }
  p.supply = circuit_.at.voltage_V * total;
  p.shared = circuit_.shared_ohm * total * total;
  p.other_load = other_load_drop_V_ * total;
  return p;
}

Energy EnergyLedger::panel(const sim::Segment& segment, double from, double to) {
  ++quadratures_;
  Energy sum;
  const double half = 0.5 * (to - from), middle = 0.5 * (from + to);
  for (std::size_t k = 0; k < std::size(nodes); ++k) {
    segment.at(middle + half * nodes[k], scratch_);
    add(sum, power(scratch_, segment.driven(), segment.unlocking()), half * weights[k]);
  }
  return sum;
}

void EnergyLedger::integrate(const sim::Segment& segment, double from, double to, const Energy& whole,
                             int depth) {
  const double middle = 0.5 * (from + to);
  const Energy left = panel(segment, from, middle);
  const Energy right = panel(segment, middle, to);
  Energy both = left;
  add(both, right, 1);
  const double scale = std::fabs(both.supply) + std::fabs(both.to_ambient) + std::fabs(both.rod);
  if (depth >= 20 || difference(both, whole) <= 1e-9 * scale + 1e-13) {
    add(sum_, both, 1);
    return;
  }
  integrate(segment, from, middle, left, depth + 1);
  integrate(segment, middle, to, right, depth + 1);
}

void EnergyLedger::segment(const sim::Segment& segment) {
  segment.at(segment.begin(), scratch_);
  if (!begun_) first_stored_ = stored_at(scratch_);
  // A trace with holes would lose energy without a sign of it.
  if (begun_ && std::fabs(segment.begin() - last_end_) > 1e-9 * (1 + last_end_)) {
    throw std::logic_error("the trace has a hole");
  }
  begun_ = true;
  // Stretches that double from two microseconds on: halving alone might step over a current's transient at
  // the begin of a long step, or over a small housing that cools at the begin of a long rest.
  const Energy before = sum_;
  double from = segment.begin(), length = segment.driven() ? 2e-6 : 1e-4;
  while (from < segment.end()) {
    const double to = from + 1.5 * length >= segment.end() ? segment.end() : from + length;
    integrate(segment, from, to, panel(segment, from, to), 0);
    from = to;
    length = std::max(length, from - segment.begin());
  }
  // Long after a study's begin a step may last a few of what time is rounded to.
  const double rounded = std::numeric_limits<double>::epsilon() * segment.end();
  sum_.rounding += difference(sum_, before) * rounded / std::max(rounded, segment.end() - segment.begin());
  segment.at(segment.end(), scratch_);
  last_stored_ = stored_at(scratch_);
  last_end_ = segment.end();
}

void EnergyLedger::pulse_ended(double, const sim::State& full) {
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    const auto& motor = circuit_.doors[k].motor;
    const double i = full[k * sim::slots + sim::slot_current], w = full[k * sim::slots + sim::slot_speed];
    sum_.dropped += 0.5 * motor.inductance * i * i + 0.5 * motor.inertia * w * w;
  }
}

Energy EnergyLedger::energy() const {
  Energy all = sum_;
  all.stored = last_stored_ - first_stored_;
  return all;
}

}  // namespace latchwright::tests
