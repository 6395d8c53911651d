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

/// Pulses of one length with rests of one length, a steady load on the rod.
struct Train {
  const char* name;
  double ambient_C, on_s, rest_s;
};

int cycles_of(const model::Actuator& actuator, const model::PtcCurve& curve, const Train& train) {
  model::RodForce load;
  load.peak = 15;
  const auto circuit =
      sim::make_bench_circuit(actuator, curve, {.voltage_V = 12.6, .ambient_C = train.ambient_C}, load);
  return sim::count_cycles(circuit, {.cycles = most_cycles, .on_s = train.on_s, .gap_s = train.rest_s});
}

/// The longest pulse that lets this part work for so many cycles, 0.25 s at least.
Train longest_pulse(const model::Actuator& actuator, const model::PtcCurve& curve, Train train, int cycles) {
  while (train.on_s > 0.25 && cycles_of(actuator, curve, train) < cycles) train.on_s *= 0.9;
  return train;
}

/// The shortest rest, doubled at most eight times from 0.1 s, that does.
Train shortest_rest(const model::Actuator& actuator, const model::PtcCurve& curve, Train train, int cycles) {
  for (int k = 0; k < 8 && cycles_of(actuator, curve, train) < cycles; ++k) train.rest_s *= 2;
  return train;
}

}  // namespace

FitTrial run_trial(std::uint64_t seed, Method method) {
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
  if (method == Method::twice) logging.off_s = logging.length_s;
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
  // On a hot day an installer wants a handful of cycles; of the others 5 % is more than a cycle.
  const Train trains[] = {longest_pulse(truth, curve, {"quick", 23, 0.7, 0.1}, 20),
                          longest_pulse(truth, curve, {"hot day", 60, 0.7, 1}, 8),
                          shortest_rest(truth, curve, {"slow", 23, 0.7, 0.1}, 20)};
  for (const Train& train : trains) {
    trial.trains.push_back(
        {train.name, cycles_of(truth, curve, train),
         cycles_of(fit.actuator, std::get<model::PtcCurve>(fit.actuator.ptc.curve), train)});
  }
  return trial;
}

std::vector<FitTrial> run_trials(std::uint64_t first_seed, std::size_t count, unsigned workers,
                                 Method method) {
  std::vector<FitTrial> trials(count);
  base::for_each_index(count, workers, [&](std::size_t k) { trials[k] = run_trial(first_seed + k, method); });
  return trials;
}

bool Foretold::alike() const { return std::abs(by_fit - truly) <= std::max(1.0, 0.05 * truly); }

int foretold(const std::vector<FitTrial>& trials, std::size_t train) {
  return static_cast<int>(std::count_if(
      trials.begin(), trials.end(), [train](const FitTrial& trial) { return trial.trains[train].alike(); }));
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
