// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/fit_held.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/failure.h"
#include "base/text.h"
#include "bench/fit_held_remarks.h"
#include "bench/held_starts.h"
#include "bench/least_squares.h"

namespace latchwright::bench {

// In the order of HeldParameter: shares of the figure (ln), K for the curve's shift.
const std::array<double, part_parameters> kept_sd{0.3, 0.3, 0.4, 0.4, 0.3, 6.0};
const std::array<double, part_parameters> largest_error{0.3, 0.3, 0.3, 0.3, 0.3, 6.0};

namespace {

constexpr std::array<double, part_parameters> farthest{2.1, 2.1, 2.7, 2.3, 1.6, 30.0};
constexpr double huber_size = 1.5, trim_size = 4.5;  // standard deviations
// Of the thermistor's heat capacity: a log in which it trips twice tells it so closely that readings in steps
// and the switch between two samples put it off by more than their noise (a choice, by the trials of
// tests/bench/coverage).
constexpr double least_heat_error = 0.003;
constexpr double widest_switch = 2.5;  // standard deviations
constexpr double never = 1e9;
class Fitter {
 public:
  Fitter(HeldResiduals& residuals, base::Progress& progress) : residuals_(residuals), progress_(progress) {
    const auto n = static_cast<Eigen::Index>(residuals.parameters());
    low_ = Eigen::VectorXd::Zero(n);
    high_ = Eigen::VectorXd::Zero(n);
    release();
    for (std::size_t l = 0; l < residuals.logs().size(); ++l) {
      const auto known = residuals.switched(l);
      const auto within = [this](std::size_t place, double mean, double sd) {
        low_[static_cast<Eigen::Index>(place)] = mean - widest_switch * sd;
        high_[static_cast<Eigen::Index>(place)] = mean + widest_switch * sd;
      };
      within(HeldResiduals::power_on_of(l), known.on_s, known.on_sd_s);
      within(HeldResiduals::power_again_of(l), known.again_s, known.again_sd_s);
      const auto [zero, sd] = known_zero(residuals.logs()[l]);
      low_[static_cast<Eigen::Index>(HeldResiduals::zero_of(l))] = zero - widest_zero * sd;
      high_[static_cast<Eigen::Index>(HeldResiduals::zero_of(l))] = zero + widest_zero * sd;
    }
  }

  /// What the rest of the work up to the next stage is told as.
  void stage(double from, double to, const char* what) {
    from_ = from;
    to_ = to;
    what_ = what;
    evaluations_ = 0;
  }

  Minimum solve(const Eigen::VectorXd& start, int iterations, double tolerance) {
    LeastSquares problem;
    problem.residuals = residuals_.size();
    problem.start = start.cwiseMax(low_).cwiseMin(high_);
    problem.low = low_;
    problem.high = high_;
    problem.iterations = iterations;
    problem.tolerance = tolerance;
    problem.function = [this](const Eigen::VectorXd& p, Eigen::VectorXd& r, Eigen::MatrixXd* jacobian) {
      if (progress_.cancelled()) return false;
      // Nobody knows how many more: ever nearer to the stage's end.
      progress_.report(from_ + (to_ - from_) * (1 - 20.0 / (20 + evaluations_++)), what_);
      residuals_.evaluate(p, r, jacobian);
      return true;
    };
    Minimum best = minimise(problem);
    if (progress_.cancelled()) throw base::Cancelled();
    return best;
  }

  void keep(std::size_t k) { low_[static_cast<Eigen::Index>(k)] = high_[static_cast<Eigen::Index>(k)] = 0; }
  void release() {
    for (std::size_t k = 0; k < part_parameters; ++k) {
      low_[static_cast<Eigen::Index>(k)] = -farthest[k];
      high_[static_cast<Eigen::Index>(k)] = farthest[k];
    }
  }
  bool kept(std::size_t k) const {
    return low_[static_cast<Eigen::Index>(k)] == high_[static_cast<Eigen::Index>(k)];
  }
  /// At the end of what is permitted.
  bool at_bound(const Eigen::VectorXd& p, std::size_t k) const {
    return !kept(k) && std::fabs(p[static_cast<Eigen::Index>(k)]) > 0.999 * farthest[k];
  }
  std::size_t free_parameters() const {
    std::size_t count = 0;
    for (Eigen::Index k = 0; k < low_.size(); ++k) count += low_[k] < high_[k] ? 1 : 0;
    return count;
  }

  /// Currents that stray weigh less, then not at all.
  Eigen::VectorXd robust(Eigen::VectorXd p, std::size_t& left_out) {
    residuals_.weigh(p, huber_size, never);
    p = solve(p, 40, 1e-8).p;
    residuals_.weigh(p, huber_size, never);
    p = solve(p, 40, 1e-8).p;
    left_out = 0;
    for (int round = 0; round < 3; ++round) {
      const std::size_t now = residuals_.weigh(p, never, trim_size);
      p = solve(p, 60, 1e-10).p;
      if (now == left_out) break;
      left_out = now;
    }
    return p;
  }

  /// Of all parameters; what is kept is as uncertain as its prior.
  Eigen::MatrixXd spread(const Eigen::VectorXd& p) {
    residuals_.set_noise(residuals_.noise(p, free_parameters()), true);
    Eigen::VectorXd r;
    Eigen::MatrixXd jacobian;
    residuals_.evaluate(p, r, &jacobian);
    Eigen::VectorXd information = Eigen::VectorXd::Zero(p.size());
    for (std::size_t k = 0; k < part_parameters; ++k) {
      // What the data do not see at all still has a size: a hundred times the prior's.
      const double sd = kept(k) ? kept_sd[k] : 100 * kept_sd[k];
      information[static_cast<Eigen::Index>(k)] = 1 / (sd * sd);
    }
    return covariance(jacobian, information);
  }

 private:
  HeldResiduals& residuals_;
  base::Progress& progress_;
  Eigen::VectorXd low_, high_;
  double from_ = 0, to_ = 0;
  const char* what_ = "";
  int evaluations_ = 0;
};

/// Which parameter the data tell least of, as a share of what may be; none where all are told well enough.
std::optional<std::size_t> worst(const Fitter& fitter, const Eigen::VectorXd& p,
                                 const Eigen::MatrixXd& spread) {
  std::optional<std::size_t> found;
  double most = 1;
  for (std::size_t k = 0; k < part_parameters; ++k) {
    if (fitter.kept(k)) continue;
    const double error = std::sqrt(spread(static_cast<Eigen::Index>(k), static_cast<Eigen::Index>(k)));
    const double size = fitter.at_bound(p, k) ? 1000.0 : error / largest_error[k];
    if (size > most) {
      most = size;
      found = k;
    }
  }
  return found;
}

/// Whether the current after the trip is too small for these readings to tell how large it is: without noise
/// to spread them over the steps, the mean of many is as coarse as one.
bool too_coarse_for_loss(const HeldResiduals& residuals) {
  constexpr double fewest_steps = 2;
  constexpr double spreading = 0.6;  // noise over step from which means are finer than a step
  for (const ReducedLog& log : residuals.logs()) {
    const auto last = std::find_if(log.bins.rbegin(), log.bins.rend(),
                                   [](const Bin& bin) { return bin.on && bin.weight > 0; });
    if (last == log.bins.rend()) continue;
    if (log.noise_A > spreading * log.step_A ||
        last->current_A - known_zero(log).zero_A > fewest_steps * log.step_A)
      return false;
  }
  return true;
}

/// One parameter after the other is kept, the one that is told least first, until the rest stand.
Told tell(HeldResiduals& residuals, Fitter& fitter, const Eigen::VectorXd& start) {
  Told told;
  told.p = start;
  for (std::size_t round = 0; round <= part_parameters; ++round) {
    told.p = fitter.robust(told.p, told.left_out);
    residuals.set_noise(residuals.noise(told.p, fitter.free_parameters()), false);
    told.p = fitter.solve(told.p, 60, 1e-11).p;
    told.spread = fitter.spread(told.p);
    const auto weakest = worst(fitter, told.p, told.spread);
    if (!weakest) break;
    const auto at = static_cast<Eigen::Index>(*weakest);
    const bool told_well = std::sqrt(told.spread(at, at)) < largest_error[*weakest];
    if (fitter.at_bound(told.p, *weakest) && told_well) {
      told.at_end.push_back(*weakest);
      told.ends[*weakest] = told.p[at];
    }
    fitter.keep(*weakest);
    told.p[at] = 0;
  }
  return told;
}

HeldFit told_fit(const HeldResiduals& residuals, const Fitter& fitter, const Told& told) {
  HeldFit fit;
  fit.values = residuals.values(told.p, 0);
  fit.values[power_on] = fit.values[power_again] = 0;
  const auto n = static_cast<Eigen::Index>(part_parameters);
  fit.covariance = told.spread.topLeftCorner(n, n);
  const auto heat = static_cast<Eigen::Index>(ptc_heat);
  fit.covariance(heat, heat) += least_heat_error * least_heat_error;
  for (std::size_t k = 0; k < part_parameters; ++k) {
    fit.identified[k] = !fitter.kept(k);
    const auto at = static_cast<Eigen::Index>(k);
    fit.standard_error[k] = std::sqrt(fit.covariance(at, at));
  }
  HeldValues slope{};
  fit.cold_ohm = residuals.model().cold_ohm(residuals.values(told.p, 0), &slope);
  const Eigen::VectorXd towards = Eigen::Map<const Eigen::VectorXd>(slope.data(), n);
  fit.cold_ohm_error = std::sqrt(towards.dot(fit.covariance * towards));
  for (std::size_t l = 0; l < residuals.logs().size(); ++l) {
    fit.power_on_s.push_back(told.p[static_cast<Eigen::Index>(HeldResiduals::power_on_of(l))]);
    fit.power_again_s.push_back(told.p[static_cast<Eigen::Index>(HeldResiduals::power_again_of(l))]);
    fit.zero_A.push_back(told.p[static_cast<Eigen::Index>(HeldResiduals::zero_of(l))]);
  }
  return fit;
}

}  // namespace

HeldFit fit_held(HeldResiduals residuals, base::Progress& progress) {
  // What was read by hand may contradict the logs: they are asked without it first.
  const std::optional<double> cold = residuals.cold_ohm();
  residuals.set_cold_ohm(std::nullopt);
  Fitter fitter(residuals, progress);
  const auto starts = held_starts(residuals);
  Minimum best;
  best.sum_of_squares = std::numeric_limits<double>::infinity();
  for (std::size_t k = 0; k < starts.size(); ++k) {
    const double part = 0.6 / static_cast<double>(starts.size()), from = part * static_cast<double>(k);
    fitter.stage(from, from + part, "fitting the held logs");
    const Minimum one = fitter.solve(starts[k], 25, 1e-5);
    if (one.usable && one.sum_of_squares < best.sum_of_squares) best = one;
  }
  if (!best.usable) {
    throw base::StudyError(std::string("the held logs cannot be followed: no start led to a fit; ") +
                           held_questions);
  }
  // A minimum in a corner of what is permitted may follow the log as well as the true one, and leads nowhere
  // once its figures are kept: one inside goes before it.
  const auto cornered = [&fitter](const Eigen::VectorXd& p) {
    for (std::size_t k = 0; k < part_parameters; ++k) {
      if (fitter.at_bound(p, k)) return true;
    }
    return false;
  };
  if (cornered(best.p)) {
    constexpr double as_good = 1.5;
    std::optional<Minimum> inside;
    for (const auto& start : starts) {
      const Minimum one = fitter.solve(start, 200, 1e-7);
      if (!one.usable || cornered(one.p) || one.sum_of_squares > as_good * best.sum_of_squares) continue;
      if (!inside || one.sum_of_squares < inside->sum_of_squares) inside = one;
    }
    if (inside) best = *inside;
  }
  fitter.stage(0.6, 0.85, "telling what the logs tell");
  const bool coarse = too_coarse_for_loss(residuals);
  if (coarse) {
    fitter.keep(ptc_loss);
    best.p[ptc_loss] = 0;
  }
  Told told = tell(residuals, fitter, best.p);
  HeldFit fit = told_fit(residuals, fitter, told);
  std::vector<std::string> remarks;
  std::string refused;
  if (coarse) {
    remarks.emplace_back(
        "the current after the trip is less than two steps of the readings: the thermistor's loss to the "
        "housing is "
        "not sought in it");
  }
  if (cold) {
    constexpr double contradicts = 2.5;  // standard deviations
    const double sd = std::hypot(fit.cold_ohm_error, cold_reading_sd(*cold));
    const auto read = [&](const char* what) {
      return fmt::format("cold: {} Ω were read by hand, the logs say {} Ω (standard error {} Ω): {}",
                         base::significant(*cold), base::significant(fit.cold_ohm, 4),
                         base::significant(fit.cold_ohm_error, 2), what);
    };
    if (fit.cold_ohm - *cold > contradicts * sd) {
      // A meter hardly reads too little, and what is warm when the log begins looks like another motor.
      refused = read(
          "it was warm when the power came on, the voltage was not taken at its own leads, or the clamp "
          "reads low. "
          "Leave it alone for an hour, read it cold again and log it again; leave the reading out only where "
          "the "
          "meter was wrong");
    } else if (*cold - fit.cold_ohm > contradicts * sd) {
      remarks.push_back(read(
          "they contradict each other, and the reading is left out. Was the meter's own taken off, was it at "
          "ambient when it was read, does the clamp read high?"));
    } else {
      fitter.stage(0.85, 0.95, "telling what the logs tell");
      residuals.set_cold_ohm(cold);
      fitter.release();
      if (coarse) fitter.keep(ptc_loss);
      told = tell(residuals, fitter, told.p);
      fit = told_fit(residuals, fitter, told);
    }
  }
  if (!cold) {
    remarks.emplace_back(
        "no cold reading: that everything was at ambient when the power came on is taken on trust, and a "
        "warm "
        "start makes another part of it; read the resistance across the leads before the log (cold)");
  }
  fit.remarks = std::move(remarks);
  if (!refused.empty()) fit.refused.push_back(std::move(refused));
  told.free_parameters = fitter.free_parameters();
  describe(residuals, told, fit);
  return fit;
}

}  // namespace latchwright::bench
