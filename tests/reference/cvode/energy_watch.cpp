// SPDX-License-Identifier: GPL-3.0-or-later
#include "reference/cvode/energy_watch.h"

#include <cmath>

namespace latchwright::tests::cvode {

void EnergyWatch::begin(const PulseSystem& system, Integrator& run) {
  pulse_ = &system;
  stall_ = nullptr;
  begin(system.layout(), run);
}

void EnergyWatch::begin(const RestSystem& system, Integrator& run) {
  pulse_ = nullptr;
  stall_ = nullptr;
  begin(system.layout(), run);
}

void EnergyWatch::begin(StallSystem& system, Integrator& run) {
  pulse_ = nullptr;
  stall_ = &system;
  begin(system.layout(), run);
}

void EnergyWatch::begin(const Layout& layout, Integrator& run) {
  run_ = &run;
  layout_ = layout;
  since_ = run.time();
  between_.resize(run.size());
  if (!begun_) first_J_ = last_J_ = stored(run.state());
  begun_ = true;
}

EnergyWatch::Powers EnergyWatch::powers(const double* y) {
  for (std::size_t k = 0; k < network_.doors.size(); ++k) {
    const double* s = y + k * layout_.stride;
    current_[k] = pulse_ != nullptr ? s[0] : 0;
    // Where the system has motion: speed, and the rod's force with the stop's, at every door's own place.
    work_[k] =
        layout_.heat == 3 ? pulse_->load(k, s[2], s[1]).force * network_.doors[k].rod_per_rad * s[1] : 0;
  }
  if (stall_ != nullptr) current_ = stall_->currents(y);
  Powers p;
  double total = 0;
  for (std::size_t k = 0; k < network_.doors.size(); ++k) {
    const DoorModel& door = network_.doors[k];
    const double shell_C = y[k * layout_.stride + layout_.heat + shell];
    total += current_[k];
    p.used += door.branch * current_[k] * current_[k] + work_[k] +
              (shell_C - network_.at.ambient_C) * door.shell_air;
  }
  p.supply = network_.at.voltage_V * total;
  p.used += network_.shared * total * total + (network_.at.voltage_V - network_.source) * total;
  return p;
}

EnergyWatch::Powers EnergyWatch::quadrature(double from, double to, std::initializer_list<Point> rule) {
  const double half = 0.5 * (to - from), middle = 0.5 * (from + to);
  Powers sum;
  for (const Point& point : rule) {
    run_->between(middle + half * point.at, between_.data());
    const Powers p = powers(between_.data());
    sum.supply += half * point.weight * p.supply;
    sum.used += half * point.weight * p.used;
  }
  return sum;
}

void EnergyWatch::integrate(double from, double to, int depth) {
  // Abramowitz & Stegun table 25.4.
  const Powers three = quadrature(from, to,
                                  {{-0.774596669241483, 0.555555555555556},
                                   {0, 0.888888888888889},
                                   {0.774596669241483, 0.555555555555556}});
  const Powers five = quadrature(from, to,
                                 {{-0.906179845938664, 0.236926885056189},
                                  {-0.538469310105683, 0.478628670499366},
                                  {0, 0.568888888888889},
                                  {0.538469310105683, 0.478628670499366},
                                  {0.906179845938664, 0.236926885056189}});
  const double scale = std::fabs(five.supply) + std::fabs(five.used);
  const double off = std::fabs(five.supply - three.supply) + std::fabs(five.used - three.used);
  // Three points are far worse than five: what both agree on to 1e-5 is right to much less than 1e-7.
  if (depth >= 20 || off <= 1e-5 * scale + 1e-12) {
    sum_.supply += five.supply;
    sum_.used += five.used;
    return;
  }
  const double middle = 0.5 * (from + to);
  integrate(from, middle, depth + 1);
  integrate(middle, to, depth + 1);
}

void EnergyWatch::step() {
  const double now = run_->time();
  if (now > since_) integrate(since_, now, 0);
  since_ = now;
  last_J_ = stored(run_->state());
}

void EnergyWatch::pulse_ended(const std::vector<double>& full, const Layout& layout) {
  for (std::size_t k = 0; k < network_.doors.size(); ++k) {
    const DoorModel& door = network_.doors[k];
    const double i = full[k * layout.stride], w = full[k * layout.stride + 1];
    dropped_ += 0.5 * door.inductance * i * i + 0.5 * door.inertia * w * w;
  }
}

double EnergyWatch::stored(const double* y) const {
  double sum = 0;
  for (std::size_t k = 0; k < network_.doors.size(); ++k) {
    const DoorModel& door = network_.doors[k];
    const double* T = y + k * layout_.stride + layout_.heat;
    const std::size_t nodes = door.split ? 5 : 4;
    for (std::size_t n = 0; n < nodes; ++n) sum += door.capacity[n] * (T[n] - network_.at.ambient_C);
  }
  return sum;
}

}  // namespace latchwright::tests::cvode
