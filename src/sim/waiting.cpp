// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/waiting.h"

#include <algorithm>
#include <cmath>

#include "sim/solver_run.h"

namespace latchwright::sim {

template class Solver<WaitingSystem>;

void WaitingSystem::begin(const State& full, double pulse_s) {
  pulse_s_ = pulse_s;
  settled_ = false;
  full_ = full;
  held_.clear();
  double current_A = 0;
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    current_A += full[k * slots + slot_current];
    if (drive_.modes()[k].motion == Motion::held) held_.push_back(k);
  }
  begin_energy(current_A, pulse_s_);
}

void WaitingSystem::events(const State& x, double* g, Place place) {
  write(x, place == Place::inside ? viewed_currents(x) : at(place).currents(), full_);
  for (std::size_t n = 0; n < held_.size(); ++n) {
    g[n] = drive_.start_surplus(full_.data() + held_[n] * slots, held_[n]);
  }
}

double WaitingSystem::share_of_lag(const StandstillCurrents& still) const {
  double current_A = 0;
  for (const double i : still.still()) current_A += i;
  return still.lag_J() / scale_J(current_A, pulse_s_);
}

bool WaitingSystem::follows(const StandstillCurrents& still) const {
  constexpr double small = 1e-3, small_doubt = 5e-6, small_share = 2e-7;
  return still.largest_lag() <= small && still.largest_doubt() <= small_doubt &&
         share_of_lag(still) <= small_share;
}

bool WaitingSystem::settled(const State&) {
  constexpr double too_far = 4e-3, too_doubtful = 1e-5, too_large_share = 5e-7;
  const StandstillCurrents &now = at(Place::begin), &before = at(Place::end);
  settled_ = now.largest_lag() > too_far || now.largest_doubt() > too_doubtful ||
             share_of_lag(now) > too_large_share;
  if (!settled_) return false;
  // Where a thermistor's curve bends, the lag of (3.9) leaps; the true one needs L/R to follow: it grows by
  // what the currents at rest change by, and L/R takes it away. Their rate goes straight from end to end of
  // the step; what it does not account for came evenly.
  const double h = step_s();
  handed_ = now.currents();
  for (std::size_t k = 0; k < handed_.size(); ++k) {
    if (now.still()[k] <= 0 || before.still()[k] <= 0) continue;
    const double constants =
        h * (now.ohms(k).path + circuit_.shared_ohm) / circuit_.doors[k].motor.inductance;
    const double behind = constants > 1e-6 ? -std::expm1(-constants) / constants : 1.0;
    const double unseen =
        now.still()[k] - before.still()[k] - 0.5 * h * (now.still_rate()[k] + before.still_rate()[k]);
    const double lag = now.lag()[k] + behind * (before.lag()[k] - now.lag()[k] + unseen);
    handed_[k] = std::max(0.0, now.still()[k] - lag);
  }
  return true;
}

void WaitingSystem::write(const State& x, const PerDoor<double>& current, State& full) const {
  full.resize(circuit_.doors.size() * slots);
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    double* s = full.data() + k * slots;
    s[slot_current] = current[k];
    s[slot_speed] = 0;
    s[slot_angle] = full_[k * slots + slot_angle];
    std::copy_n(x.data() + k * heat_nodes, heat_nodes, s + slot_temperature);
  }
}

}  // namespace latchwright::sim
