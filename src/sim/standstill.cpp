// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/standstill.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace latchwright::sim {

using physics::heat_nodes;

StandstillCurrents::StandstillCurrents(const Circuit& circuit, bool with_inductance)
    : circuit_(circuit),
      with_inductance_(with_inductance),
      ohms_(circuit.doors.size()),
      resistance_(circuit.doors.size()),
      still_(circuit.doors.size()),
      change_(circuit.doors.size()),
      slope_(circuit.doors.size()),
      lag_(circuit.doors.size()) {}

void StandstillCurrents::apply_inverse(const std::vector<double>& right, std::vector<double>& out) const {
  // (diag(R) + R_s 1 1ᵀ) out = right over the conducting doors.
  double top = 0, bottom = 1;
  for (std::size_t k = 0; k < right.size(); ++k) {
    if (still_[k] <= 0) continue;
    top += right[k] / resistance_[k];
    bottom += circuit_.shared_ohm / resistance_[k];
  }
  const double sum = top / bottom;
  for (std::size_t k = 0; k < right.size(); ++k) {
    out[k] = still_[k] > 0 ? (right[k] - circuit_.shared_ohm * sum) / resistance_[k] : 0.0;
  }
}

void StandstillCurrents::solve(const double* T, std::size_t stride, std::vector<double>& current) {
  const std::size_t count = circuit_.doors.size();
  current.resize(count);
  for (std::size_t k = 0; k < count; ++k) {
    ohms_[k] = DoorOhms(circuit_.doors[k], T + k * stride);
    resistance_[k] = ohms_[k].path;
  }
  standstill_currents(circuit_, resistance_.data(), still_.data());
  largest_lag_ = 0;
  if (!with_inductance_) {
    std::copy(still_.begin(), still_.end(), current.begin());
    return;
  }
  // L di/dt = v - R i with R changing: i = i_still - A^-1 L di/dt, and di/dt = -A^-1 (dR/dt i_still).
  double rate[heat_nodes];
  for (std::size_t k = 0; k < count; ++k) {
    const DoorCircuit& door = circuit_.doors[k];
    const double* temperatures = T + k * stride;
    heat_rates(door, circuit_.at.ambient_C, ohms_[k], still_[k], 0, 0, temperatures, rate);
    const double growth =
        door.motor.winding_ohm_per_K() * rate[physics::winding] + ohms_[k].ptc_per_K * rate[physics::ptc];
    change_[k] = -growth * still_[k];
  }
  apply_inverse(change_, slope_);
  for (std::size_t k = 0; k < count; ++k) slope_[k] *= circuit_.doors[k].motor.inductance;
  apply_inverse(slope_, lag_);
  for (std::size_t k = 0; k < count; ++k) {
    current[k] = std::max(0.0, still_[k] - lag_[k]);
    if (still_[k] > 0) largest_lag_ = std::max(largest_lag_, std::fabs(lag_[k]) / still_[k]);
  }
}

StandstillSystem::StandstillSystem(const Circuit& circuit, bool with_inductance)
    : circuit_(circuit), solver_(circuit, with_inductance) {}

const std::vector<double>& StandstillSystem::currents(const State& x) {
  solver_.solve(x.data(), heat_nodes, current_);
  return current_;
}

void StandstillSystem::rates(const State& x, State& dxdt, double) {
  solver_.solve(x.data(), heat_nodes, current_);
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    heat_rates(circuit_.doors[k], circuit_.at.ambient_C, solver_.ohms(k), current_[k], 0, 0,
               x.data() + k * heat_nodes, dxdt.data() + k * heat_nodes);
  }
}

std::string StandstillSystem::describe(const State& x) const {
  std::string text;
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    text += fmt::format("{}{} standing, winding {:.4g} °C, thermistor {:.4g} °C", k ? "; " : "",
                        circuit_.doors[k].name, x[k * heat_nodes + physics::winding],
                        x[k * heat_nodes + physics::ptc]);
  }
  return text;
}

}  // namespace latchwright::sim
