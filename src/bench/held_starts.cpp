// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/held_starts.h"

#include <algorithm>
#include <cmath>

namespace latchwright::bench {

namespace {

/// The thermistor's heat that makes it trip when it did in this log.
void match_trip(const HeldModel& model, const ReducedLog& log, double trip_s, HeldValues& values) {
  double low = -2.5, high = 2.5;
  for (int k = 0; k < 18; ++k) {
    values[ptc_heat] = 0.5 * (low + high);
    const auto run = model.currents(log, values, false);
    const double first = (log.on_voltage_V - model.like().motor.brush_drop) / model.cold_ohm(values, nullptr);
    const auto tripped = half_current_s(log, run.current_A, first);
    (!tripped || *tripped > trip_s ? high : low) = values[ptc_heat];
  }
}

}  // namespace

std::optional<double> half_current_s(const ReducedLog& log, const std::vector<double>& current_A,
                                     double first_A) {
  std::optional<double> below_since;
  for (std::size_t b = 0; b < log.bins.size(); ++b) {
    const Bin& bin = log.bins[b];
    if (!bin.on && below_since) break;
    if (!bin.on || bin.weight <= 0 || bin.time_s <= settle_s) continue;
    if (current_A[b] >= 0.5 * first_A) {
      // A thermistor under power does not recover: the rod had moved.
      below_since.reset();
    } else if (!below_since) {
      below_since = bin.time_s;
    }
  }
  return below_since;
}

std::vector<Eigen::VectorXd> held_starts(const HeldResiduals& residuals) {
  struct Guess {
    double ptc_ratio, shift_K;
  };
  constexpr Guess guesses[] = {{1, 0}, {0.6, 0}, {1.7, 0}, {1, 8}, {1, -8}};
  const HeldModel& model = residuals.model();
  std::vector<Eigen::VectorXd> starts;
  for (const Guess& guess : guesses) {
    Eigen::VectorXd p = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(residuals.parameters()));
    for (std::size_t l = 0; l < residuals.logs().size(); ++l) {
      p[static_cast<Eigen::Index>(HeldResiduals::power_on_of(l))] = residuals.switched(l).on_s;
      p[static_cast<Eigen::Index>(HeldResiduals::power_again_of(l))] = residuals.switched(l).again_s;
      p[static_cast<Eigen::Index>(HeldResiduals::zero_of(l))] = known_zero(residuals.logs()[l]).zero_A;
    }
    HeldValues values = residuals.values(p, 0);
    values[curve_shift] = guess.shift_K;
    values[ptc_ohm] = std::log(guess.ptc_ratio);
    // What the first current leaves for the motor.
    const ReducedLog& first = residuals.logs().front();
    const double amps = first.first_current_A - known_zero(first).zero_A;
    const double wanted = (first.on_voltage_V - model.like().motor.brush_drop) / std::max(amps, 1e-3);
    const double now = model.cold_ohm(values, nullptr);
    HeldValues without = values;
    without[motor_ohm] = -20;
    const double thermistor = model.cold_ohm(without, nullptr);
    values[motor_ohm] =
        std::clamp(std::log(std::max(wanted - thermistor, 0.2 * wanted) / (now - thermistor)), -2.0, 2.0);
    for (const ReducedLog& log : residuals.logs()) {
      std::vector<double> measured;
      for (const Bin& bin : log.bins) measured.push_back(bin.current_A - known_zero(log).zero_A);
      const auto trip = half_current_s(log, measured, log.first_current_A - known_zero(log).zero_A);
      if (!trip) continue;
      values[power_on] = -0.5 * log.before_on_s;
      match_trip(model, log, *trip, values);
      break;
    }
    for (std::size_t k = 0; k < part_parameters; ++k) p[static_cast<Eigen::Index>(k)] = values[k];
    starts.push_back(std::move(p));
  }
  return starts;
}

}  // namespace latchwright::bench
