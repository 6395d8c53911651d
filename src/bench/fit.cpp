// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/fit.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/failure.h"
#include "base/text.h"
#include "bench/fit_drive.h"
#include "bench/fit_held.h"
#include "bench/log_signs.h"
#include "physics/thermistor.h"

namespace latchwright::bench {

namespace {

constexpr double half_width = 1.96;     // standard errors to either side, 95 %
constexpr double most_tolerance = 0.9;  // that a part may state

struct Shown {
  const char* name;
  const char* unit;
  double (*value)(const model::Actuator&);
};
constexpr Shown held_shown[] = {
    {"/motor/resistance_ohm", "ohm", [](const model::Actuator& a) { return a.motor.resistance; }},
    {"/ptc/resistance_ohm", "ohm", [](const model::Actuator& a) { return a.ptc.resistance; }},
    {"/ptc/heat_J_per_K", "J/K", [](const model::Actuator& a) { return a.ptc.heat_J_per_K; }},
    {"/ptc/to_housing_mW_per_K", "mW/K",
     [](const model::Actuator& a) { return a.ptc.to_housing_W_per_K * 1e3; }},
    {"/thermal/winding_J_per_K", "J/K", [](const model::Actuator& a) { return a.thermal.winding_J_per_K; }},
};
constexpr Shown drive_shown[] = {
    {"/motor/torque_constant_mNm_per_A", "mN·m/A",
     [](const model::Actuator& a) { return a.motor.torque_constant * 1e3; }},
    {"/motor/friction_mNm", "mN·m", [](const model::Actuator& a) { return a.motor.friction * 1e3; }},
    {"/drive/efficiency", "", [](const model::Actuator& a) { return a.drive.efficiency; }},
};

void add_parameter(Fit& fit, const Shown& shown, const model::Actuator& like, bool identified,
                   double relative_error) {
  FitParameter parameter{shown.name,        shown.unit,   shown.value(fit.actuator),
                         shown.value(like), std::nullopt, identified};
  if (identified) {
    parameter.standard_error = relative_error * parameter.value;
    fit.actuator.tolerance[shown.name] = std::min(half_width * relative_error, most_tolerance);
  }
  fit.parameters.push_back(std::move(parameter));
}

/// A log with the fitted current at its own samples, straight between the bins.
FittedLog beside(const model::BenchLog& log, const ReducedLog& reduced, const std::vector<double>& at_bins,
                 double zero_A, bool free_running) {
  FittedLog out;
  out.name = log.name;
  out.free_running = free_running;
  std::size_t next = 0;
  for (std::size_t k = 0; k < log.time_s.size(); ++k) {
    const double t = log.time_s[k] - reduced.on_s;
    if (t < 0 || std::isnan(log.current_A[k])) continue;
    while (next < reduced.bins.size() && reduced.bins[next].time_s < t) ++next;
    double fitted;
    if (!(std::fabs(log.voltage_V[k]) > power_on_V)) {
      fitted = 0;
    } else if (next == 0 || !reduced.bins[next - 1].on) {
      fitted = at_bins[std::min(next, at_bins.size() - 1)];
    } else if (next == reduced.bins.size()) {
      fitted = at_bins.back();
    } else if (!reduced.bins[next].on) {
      fitted = at_bins[next - 1];
    } else {
      const Bin& a = reduced.bins[next - 1];
      const Bin& b = reduced.bins[next];
      fitted =
          at_bins[next - 1] + (t - a.time_s) / (b.time_s - a.time_s) * (at_bins[next] - at_bins[next - 1]);
    }
    out.time_s.push_back(std::round(t * 1e9) / 1e9);  // without the subtraction's digits
    out.measured_A.push_back(reduced.flipped ? -log.current_A[k] : log.current_A[k]);
    out.fitted_A.push_back(fitted + zero_A);
  }
  return out;
}

void add_remarks(Fit& fit, const std::vector<std::string>& remarks) {
  fit.remarks.insert(fit.remarks.end(), remarks.begin(), remarks.end());
}

void add_correlations(Fit& fit, const HeldFit& held, const DriveFit& drive) {
  // Held logs and free runs are fitted one after the other: across them nothing is known.
  struct Place {
    bool held;
    Eigen::Index at;
  };
  std::vector<Place> places;
  for (std::size_t k = 0; k < part_parameters; ++k) {
    if (held.identified[k]) places.push_back({true, static_cast<Eigen::Index>(k)});
  }
  for (std::size_t k = 0; k < drive_parameters; ++k) {
    if (drive.identified[k]) places.push_back({false, static_cast<Eigen::Index>(k)});
  }
  for (const Place& a : places) {
    std::vector<double>& row = fit.correlation.emplace_back();
    for (const Place& b : places) {
      if (a.held != b.held) {
        row.push_back(0);
        continue;
      }
      const Eigen::MatrixXd& c = a.held ? held.covariance : drive.covariance;
      row.push_back(a.at == b.at ? 1.0 : c(a.at, b.at) / std::sqrt(c(a.at, a.at) * c(b.at, b.at)));
    }
  }
}

}  // namespace

Fit fit_actuator(const model::Actuator& like, const model::PtcCurve& like_curve,
                 const std::vector<model::BenchLog>& held, const std::vector<model::BenchLog>& free,
                 const model::HandReadings& hand, base::Progress& progress) {
  if (held.empty()) throw base::StudyError("a fit needs at least one log of the actuator held");
  refuse_same_logs(held, free);
  const HeldModel model(like, like_curve, hand.ambient_C);
  Fit fit;
  std::vector<ReducedLog> reduced, reduced_free;
  for (const auto& log : held) {
    reduced.push_back(reduce_log(log));
    add_remarks(fit, reduced.back().remarks);
    const double volts = std::max(0.0, reduced.back().on_voltage_V - like.motor.brush_drop);
    refuse_other_size(reduced.back(), volts / model.cold_ohm({}, nullptr), known_zero(reduced.back()).zero_A);
  }
  for (const auto& log : free) {
    reduced_free.push_back(reduce_log(log, Rod::free));
    add_remarks(fit, reduced_free.back().remarks);
  }
  const HeldFit told = fit_held(HeldResiduals(model, reduced, hand.cold_ohm), progress);
  add_remarks(fit, told.remarks);
  fit.refused = told.refused;
  const model::Actuator resistances = model.part(told.values);
  const auto& curve = std::get<model::PtcCurve>(resistances.ptc.curve);
  DriveReadings readings{.free = reduced_free,
                         .force_N = hand.force_N,
                         .throw_s = hand.throw_s,
                         .voltage_V = reduced.front().on_voltage_V,
                         .ambient_C = hand.ambient_C};
  progress.report(0.95, "fitting the drive");
  DriveFit drive;
  if (fit.refused.empty()) {
    for (const auto& log : reduced_free) refuse_held_as_free(log, told.cold_ohm, like.motor.brush_drop);
    drive = fit_drive(resistances, curve, readings, progress);
  } else {
    for (const auto& log : reduced_free) drive.zero_A.push_back(known_zero(log).zero_A);
  }
  add_remarks(fit, drive.remarks);
  fit.actuator = with_ratios(resistances, drive.ratio);

  for (std::size_t k = 0; k < std::size(held_shown); ++k) {
    add_parameter(fit, held_shown[k], like, told.identified[k], told.standard_error[k]);
  }
  FitParameter shift{
      "curve_shift_K", "K", told.values[curve_shift], 0, std::nullopt, told.identified[curve_shift]};
  if (shift.identified) shift.standard_error = told.standard_error[curve_shift];
  fit.parameters.push_back(std::move(shift));
  for (std::size_t k = 0; k < std::size(drive_shown); ++k) {
    add_parameter(fit, drive_shown[k], like, drive.identified[k], drive.standard_error[k] / drive.ratio[k]);
  }
  add_correlations(fit, told, drive);
  if (told.identified[motor_ohm]) {
    const double volts = std::max(0.1, reduced.front().on_voltage_V - like.motor.brush_drop);
    fit.remarks.push_back(fmt::format(
        "the brush drop, {} V, is the like part's and no current tells it: a tenth of a volt off makes the "
        "cold "
        "resistance {} Ω wrong",
        base::significant(like.motor.brush_drop), base::significant(0.1 * told.cold_ohm / volts, 2)));
  }
  fit.remarks.emplace_back(
      "the part's tolerances are what is not known of this one actuator; others of its type scatter more: "
      "measure "
      "those too, or widen them");

  fit.residual_rms_A = told.residual_rms_A;
  for (std::size_t l = 0; l < held.size(); ++l) {
    HeldValues values = told.values;
    values[power_on] = told.power_on_s[l];
    values[power_again] = told.power_again_s[l];
    fit.logs.push_back(beside(held[l], reduced[l], model.currents(reduced[l], values, false).current_A,
                              told.zero_A[l], false));
  }
  for (std::size_t l = 0; l < free.size(); ++l) {
    std::vector<double> runs;
    for (const Bin& bin : reduced_free[l].bins) {
      runs.push_back(bin.on ? free_current(fit.actuator, bin.voltage_V, hand.ambient_C) : 0.0);
    }
    fit.logs.push_back(beside(free[l], reduced_free[l], runs, drive.zero_A[l], true));
  }
  progress.report(1, "fitted");
  return fit;
}

}  // namespace latchwright::bench
