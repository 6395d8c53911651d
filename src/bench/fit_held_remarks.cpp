// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/fit_held_remarks.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "bench/held_starts.h"
#include "bench/log_signs.h"

namespace latchwright::bench {

const char* const held_questions =
    "was it at ambient when the power came on, does the log begin before that, was the rod held all the "
    "time, do "
    "the columns hold what their names say, is --like near what was measured?";

namespace {

constexpr const char* names[] = {"the motor's resistance",         "the thermistor's resistance",
                                 "the thermistor's heat capacity", "the thermistor's loss to the housing",
                                 "the winding's heat capacity",    "the curve's shift"};

/// "2.4 times", "18 K above".
std::string how_far(std::size_t k, double value) {
  if (k != curve_shift) return fmt::format("{} times", base::significant(std::exp(value), 2));
  return fmt::format("{} K {}", base::significant(std::fabs(value), 2), value < 0 ? "below" : "above");
}

void describe_log(const ReducedLog& log, double zero, const HeldResiduals::Stray& stray,
                  const HeldResiduals::Noise& noise, HeldFit& out) {
  // Neighbours that go together by a third or more double the variance.
  constexpr double shaped_growth = 2, shaped_times = 1.25;
  constexpr double poor_times = 4, poor_share = 0.015, noticed_times = 1.6, stretch_share = 0.05;
  const double first = log.first_current_A - zero;
  std::vector<double> measured;
  for (const Bin& bin : log.bins) measured.push_back(bin.current_A - zero);
  const auto trip = half_current_s(log, measured, first);

  if (stray.rms_A > std::max(poor_times * log.noise_A, poor_share * first)) {
    out.refused.push_back(fmt::format(
        "{}: the fit does not describe this log: its current is {} A off (r.m.s.), the "
        "noise of the readings is {} A; {}",
        log.name, base::significant(stray.rms_A, 2), base::significant(log.noise_A, 2), held_questions));
  } else if (stray.rms_A > noticed_times * log.noise_A ||
             (noise.growth > shaped_growth && noise.sample_A > shaped_times * log.noise_A)) {
    out.remarks.push_back(
        fmt::format("{}: what is left between log and fit has a shape ({} A r.m.s., the noise of the "
                    "readings is {} A): it is "
                    "built otherwise than the like part, or moved; the figures are less sure than their "
                    "standard errors say",
                    log.name, base::significant(stray.rms_A, 2), base::significant(log.noise_A, 2)));
  }
  for (const auto& stretch : stray.stretches) {
    const bool early = stretch.from_s < trip.value_or(0) && stretch.off_A > stretch_share * first;
    (early ? out.refused : out.remarks)
        .push_back(fmt::format(
            "{}: from {} s to {} s after power on the current is {} A off and left out ({} points in a "
            "row): {}",
            log.name, base::significant(stretch.from_s), base::significant(stretch.to_s),
            base::significant(stretch.off_A, 2), stretch.currents,
            early ? "it was not held then, and what warmed it is not known" : "did it move?"));
  }
  const double shown_zero = log.flipped ? -zero : zero;
  if (std::fabs(zero) > 0.005) {
    out.remarks.push_back(fmt::format("{}: the clamp read {} A without current; taken off", log.name,
                                      base::significant(shown_zero, 2)));
  }
  if (!log.zero_A) {
    out.remarks.push_back(fmt::format(
        "{}: holds no sample without power: the clamp's zero is known less well, and that it was cold "
        "when the log begins is taken on trust; log a second before power on",
        log.name));
  }
  if (!trip) {
    out.remarks.push_back(log.name +
                          ": the current does not fall to half of its first value: the log tells little of "
                          "the thermistor");
  }
  if (std::string sag = no_sag_remark(log); !sag.empty()) out.remarks.push_back(std::move(sag));
}

}  // namespace

void describe(const HeldResiduals& residuals, const Told& told, HeldFit& fit) {
  constexpr double far_sd = 3, most_left_out = 0.25;
  for (const std::size_t k : told.at_end) {
    fit.refused.push_back(fmt::format("{} would have to be {} the like part's, or farther off: {}", names[k],
                                      how_far(k, told.ends[k]), held_questions));
  }
  for (std::size_t k = 0; k < part_parameters; ++k) {
    if (!fit.identified[k] || std::fabs(fit.values[k]) < far_sd * kept_sd[k]) continue;
    fit.remarks.push_back(
        fmt::format("{} is {} the like part's: {}", names[k], how_far(k, fit.values[k]), held_questions));
  }
  if (std::none_of(fit.identified.begin(), fit.identified.end(), [](bool is) { return is; }))
    fit.refused.emplace_back("the held logs tell no figure of the actuator");
  const double share =
      static_cast<double>(told.left_out) / static_cast<double>(residuals.currents_compared());
  if (told.left_out > 0) {
    (share > most_left_out ? fit.refused : fit.remarks)
        .push_back(fmt::format(
            "{} of {} compared points stray and are left out{}", told.left_out, residuals.currents_compared(),
            share > 0.1 ? ": the model does not follow these logs well; look at the picture" : ""));
  }
  fit.remarks.push_back(
      fmt::format("across the leads, cold: {} Ω, standard error {} Ω: the sum of motor and thermistor is "
                  "known better than either",
                  base::significant(fit.cold_ohm, 4), base::significant(fit.cold_ohm_error, 2)));
  const auto strays = residuals.strays(told.p);
  const auto noise = residuals.noise(told.p, told.free_parameters);
  double squares = 0;
  for (std::size_t l = 0; l < residuals.logs().size(); ++l) {
    const ReducedLog& log = residuals.logs()[l];
    describe_log(log, fit.zero_A[l], strays[l], noise[l], fit);
    double samples = 0, bins = 0;
    for (const Bin& bin : log.bins) {
      samples += bin.on ? bin.weight : 0.0;
      bins += bin.on && bin.weight > 0 ? 1 : 0;
    }
    // What is left of one sample: what its bin is off, and the noise that the bin's mean has lost.
    squares += strays[l].rms_A * strays[l].rms_A + log.noise_A * log.noise_A * (1 - bins / samples);
  }
  fit.residual_rms_A = std::sqrt(squares / static_cast<double>(residuals.logs().size()));
}

}  // namespace latchwright::bench
