// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/waiting.h"

#include <algorithm>

#include "sim/solver_run.h"

namespace latchwright::sim {

template class Solver<WaitingSystem>;

void WaitingSystem::begin(const State& full) {
  full_ = full;
  held_.clear();
  double current_A = 0;
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    current_A += full[k * slots + slot_current];
    if (drive_.modes()[k].motion == Motion::held) held_.push_back(k);
  }
  begin_energy(current_A, 1.0);
}

void WaitingSystem::events(const State& x, double* g, Place place) {
  write(x, place == Place::inside ? viewed_currents(x) : at(place).currents(), full_);
  for (std::size_t n = 0; n < held_.size(); ++n) {
    g[n] = drive_.start_surplus(full_.data() + held_[n] * slots, held_[n]);
  }
}

bool WaitingSystem::settled(const State&) {
  constexpr double too_far = 4e-3;
  return at(Place::begin).largest_lag() > too_far;
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
