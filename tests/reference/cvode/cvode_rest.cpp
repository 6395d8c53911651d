// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include "reference/cvode/cvode_study.h"

// Power off: rests, and what comes back after them.
namespace latchwright::tests::cvode {

Rest::Rest(const Network& network, const Tolerances& tolerances)
    : network_(network),
      system_(network),
      run_(system_, network.doors.size(), system_.usual_sizes(), 2 * network.doors.size(), tolerances) {}

void Rest::run(std::vector<double>& temperatures, double seconds, PeakWatch* watch, EnergyWatch* energy) {
  if (!(seconds > 0)) return;
  std::copy(temperatures.begin(), temperatures.end(), run_.state());
  run_.restart(0, false);
  if (watch != nullptr) watch->begin(system_, system_.layout(), 0, run_.state());
  if (energy != nullptr) energy->begin(system_, run_);
  for (bool going = true; going;) {
    going = run_.step(seconds) == Integrator::Step::on;
    if (watch != nullptr) watch->step(run_.time(), run_.state());
    if (energy != nullptr) energy->step();
  }
  std::copy_n(run_.state(), temperatures.size(), temperatures.begin());
}

bool Rest::stays_near(const double* y) const {
  // No node of a door ever leaves the span of its nodes and the air.
  const double air = network_.at.ambient_C;
  for (std::size_t k = 0; k < network_.doors.size(); ++k) {
    const DoorModel& door = network_.doors[k];
    const double* T = y + k * network_.nodes;
    const std::size_t nodes = door.split ? 5 : 4;
    const double low = std::min(air, *std::min_element(T, T + nodes));
    const double high = std::max(air, *std::max_element(T, T + nodes));
    const double there = door.curve.at(air).value;
    constexpr int pieces = 64;
    for (int n = 0; n <= pieces; ++n) {
      if (std::fabs(door.curve.at(low + (high - low) * n / pieces).value / there - 1) > 0.0999) return false;
    }
  }
  return true;
}

double Rest::cooled_s(const std::vector<double>& temperatures) {
  std::copy(temperatures.begin(), temperatures.end(), run_.state());
  run_.restart(0, true);
  std::vector<double> g(2 * network_.doors.size());
  double cooled = 0;
  constexpr double longest = 1e7;
  while (run_.time() < longest && !stays_near(run_.state())) {
    if (run_.step(longest) == Integrator::Step::on) continue;
    for (std::size_t k = 0; k < network_.doors.size(); ++k) {
      if (run_.found()[2 * k] != 0) cooled = run_.time();
    }
  }
  return cooled;
}

namespace {

/// Throws after rests of growing length.
class Trials {
 public:
  Trials(const Network& network, const std::vector<double>& temperatures, double on_s, bool unlocking,
         const Tolerances& tolerances)
      : rest_(network, tolerances),
        pulse_(network, tolerances),
        fails_T_(temperatures),
        on_s_(on_s),
        unlocking_(unlocking) {}

  /// Of a rest not shorter than the longest that has failed so far.
  bool completes_after(double seconds) {
    last_T_ = fails_T_;
    rest_.run(last_T_, seconds - fails_, nullptr);
    trial_T_ = last_T_;
    const Arrivals& arrivals = pulse_.run(trial_T_, on_s_, unlocking_, nullptr);
    if (std::all_of(arrivals.begin(), arrivals.end(), [](const auto& a) { return a.has_value(); }))
      return true;
    fails_T_ = last_T_;
    fails_ = seconds;
    return false;
  }
  double longest_failed() const { return fails_; }
  /// K, of any node at the last trial's begin.
  double farthest_from(double air_C) const {
    double farthest = 0;
    for (const double T : last_T_) farthest = std::max(farthest, std::fabs(T - air_C));
    return farthest;
  }

 private:
  Rest rest_;
  Pulse pulse_;
  std::vector<double> fails_T_, last_T_, trial_T_;
  double fails_ = 0, on_s_;
  bool unlocking_;
};

constexpr double shortest = 1e-3, growth = 1.1;  // s, -: of the rests that are tried
constexpr double near = 1e-3;                    // K: at ambient

}  // namespace

Recovery recover(const Network& network, const std::vector<double>& temperatures, double on_s, bool unlocking,
                 const Tolerances& tolerances) {
  Recovery out;
  out.cooled_s = Rest(network, tolerances).cooled_s(temperatures);
  // A first look with a cheap tolerance finds where the careful one has to search.
  Tolerances cheap = tolerances;
  cheap.relative = std::max(cheap.relative, 1e-6);
  Trials looks(network, temperatures, on_s, unlocking, cheap);
  double from = 0;
  if (!looks.completes_after(0)) {
    from = shortest;
    while (!looks.completes_after(from) && looks.farthest_from(network.at.ambient_C) > near) from *= growth;
  }
  Trials trials(network, temperatures, on_s, unlocking, tolerances);
  if (trials.completes_after(0)) {
    out.recovery_s = 0;
    return out;
  }
  double works = std::max(shortest, from / (growth * growth));
  while (!trials.completes_after(works)) {
    if (trials.farthest_from(network.at.ambient_C) <= near) return out;
    works *= growth;
  }
  while (works - trials.longest_failed() > std::max(1e-5 * works, 1e-5)) {
    const double middle = 0.5 * (trials.longest_failed() + works);
    if (trials.completes_after(middle)) works = middle;
  }
  out.recovery_s = works;
  return out;
}

}  // namespace latchwright::tests::cvode
