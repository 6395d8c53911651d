// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/trials.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <random>

#include "base/worker_pool.h"
#include "bench/fit.h"
#include "bench/made_logs.h"
#include "sim/cycle.h"

namespace latchwright::tests {

namespace {

constexpr const char* parts[] = {"act-light-2w", "act-ordinary-2w",   "act-ordinary-ceramic",
                                 "act-heavy-2w", "act-workshop-test", "act-heavy-5w-copper"};
constexpr double rates_Hz[] = {10, 20, 50, 100, 200, 500, 1000};
constexpr int most_cycles = 400;

/// A quick train of pulses and rests with a steady load. Long rests would bring many parts near the point
/// where they never lock out, and there a per cent of loss is any number of cycles.
int cycles_of(const model::Actuator& actuator, const model::PtcCurve& curve, double on_s) {
  model::RodForce load;
  load.peak = 15;
  const auto circuit = sim::make_bench_circuit(actuator, curve, {.voltage_V = 12.6, .ambient_C = 23}, load);
  return sim::count_cycles(circuit, {.cycles = most_cycles, .on_s = on_s, .gap_s = 0.1});
}

}  // namespace

FitTrial run_trial(std::uint64_t seed) {
  std::mt19937_64 random(seed);
  const auto even = [&random](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  FitTrial trial;
  trial.like = parts[random() % std::size(parts)];
  trial.rate_Hz = rates_Hz[random() % std::size(rates_Hz)];
  const model::Actuator& like = catalogue_actuator(trial.like);
  model::Actuator truth = like;
  truth.motor.resistance *= even(0.8, 1.25);
  truth.ptc.resistance *= even(0.8, 1.25);
  truth.ptc.heat_J_per_K *= even(0.7, 1.4);
  truth.ptc.to_housing_W_per_K *= even(0.7, 1.4);
  const double winding = even(0.8, 1.25);
  truth.thermal.winding_J_per_K *= winding;
  if (truth.thermal.copper_J_per_K) *truth.thermal.copper_J_per_K *= winding;
  const double shift_K = even(-5, 5);
  const model::PtcCurve curve = shifted(catalogue_curve(like), shift_K);

  Logging logging;
  logging.rate_Hz = trial.rate_Hz;
  logging.phase = even(0, 1);
  logging.before_s = even(0, 1) < 0.8 ? std::max(1.0, 5 / trial.rate_Hz) : 0.0;
  if (logging.before_s == 0) logging.phase = even(0.0, 1.0);
  logging.length_s = even(60, 150);
  logging.noise_A = even(0.005, 0.03);
  logging.noise_V = even(0, 0.01);
  logging.step_A = 0.01;
  logging.zero_A = even(-0.08, 0.08) * (logging.before_s > 0 ? 1.0 : 0.5);
  logging.start_s = even(-100, 1000);
  logging.seed = seed + 1000003;
  const double voltage_V = even(11.5, 14), ambient_C = even(15, 30);
  const auto log = held_log(truth, curve, voltage_V, ambient_C, logging);

  base::NoProgress progress;
  model::HandReadings hand;
  hand.ambient_C = ambient_C;
  const auto begin = std::chrono::steady_clock::now();
  const bench::Fit fit = bench::fit_actuator(like, catalogue_curve(like), {log}, {}, hand, progress);
  trial.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();

  if (!fit.refused.empty()) trial.refused = fit.refused.front();
  for (const auto& remark : fit.remarks)
    trial.strays = trial.strays || remark.find("less sure than their standard errors") != std::string::npos;
  const std::pair<std::string, double> true_figures[] = {
      {"/motor/resistance_ohm", truth.motor.resistance},
      {"/ptc/resistance_ohm", truth.ptc.resistance},
      {"/ptc/heat_J_per_K", truth.ptc.heat_J_per_K},
      {"/ptc/to_housing_mW_per_K", truth.ptc.to_housing_W_per_K * 1e3},
      {"/thermal/winding_J_per_K", truth.thermal.winding_J_per_K},
      {"curve_shift_K", shift_K}};
  for (const auto& [name, value] : true_figures) {
    for (const auto& parameter : fit.parameters) {
      if (parameter.name != name) continue;
      TrialFigure figure;
      figure.name = name;
      figure.identified = parameter.identified;
      if (parameter.standard_error) {
        figure.off = (parameter.value - value) / *parameter.standard_error;
        figure.covered = std::fabs(figure.off) <= 1.96;
        figure.error_share = *parameter.standard_error / (name == "curve_shift_K" ? 1.0 : value);
      }
      trial.figures.push_back(figure);
    }
  }
  // The longest pulse that lets this part work a while, so that 5 % is more than a cycle.
  double on_s = 0.7;
  for (; on_s > 0.25; on_s *= 0.9) {
    trial.true_cycles = cycles_of(truth, curve, on_s);
    if (trial.true_cycles >= 20) break;
  }
  trial.fitted_cycles = cycles_of(fit.actuator, std::get<model::PtcCurve>(fit.actuator.ptc.curve), on_s);
  return trial;
}

std::vector<FitTrial> run_trials(std::uint64_t first_seed, std::size_t count, unsigned workers) {
  std::vector<FitTrial> trials(count);
  base::for_each_index(count, workers, [&](std::size_t k) { trials[k] = run_trial(first_seed + k); });
  return trials;
}

bool predicted(const FitTrial& trial) {
  return std::abs(trial.fitted_cycles - trial.true_cycles) <= std::max(1.0, 0.05 * trial.true_cycles);
}

std::vector<Coverage> coverage_of(const std::vector<FitTrial>& trials) {
  std::vector<Coverage> out;
  for (const auto& figure : trials.front().figures) {
    Coverage one;
    one.name = figure.name;
    std::vector<double> errors;
    for (const auto& trial : trials) {
      for (const auto& own : trial.figures) {
        if (own.name != figure.name || !own.identified) continue;
        ++one.identified;
        one.covered += own.covered ? 1 : 0;
        errors.push_back(own.error_share);
      }
    }
    std::sort(errors.begin(), errors.end());
    if (!errors.empty()) one.median_error_share = errors[errors.size() / 2];
    out.push_back(one);
  }
  return out;
}

}  // namespace latchwright::tests
