// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/fit_held.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/failure.h"
#include "base/text.h"
#include "bench/held_starts.h"
#include "bench/least_squares.h"

namespace latchwright::bench {

// In the order of HeldParameter: shares of the figure (ln), K for the curve's shift.
const std::array<double, part_parameters> kept_sd{0.3, 0.3, 0.4, 0.4, 0.3, 6.0};
const std::array<double, part_parameters> largest_error{0.3, 0.3, 0.3, 0.3, 0.3, 6.0};

namespace {

constexpr std::array<double, part_parameters> farthest{2.1, 2.1, 2.7, 2.3, 1.6, 30.0};
constexpr double huber_size = 1.5, trim_size = 4.5;  // standard deviations
constexpr double never = 1e9;
constexpr const char* names[] = {"the motor's resistance",         "the thermistor's resistance",
                                 "the thermistor's heat capacity", "the thermistor's loss to the housing",
                                 "the winding's heat capacity",    "the curve's shift"};

class Fitter {
 public:
  Fitter(HeldResiduals& residuals, base::Progress& progress) : residuals_(residuals), progress_(progress) {
    const auto n = static_cast<Eigen::Index>(residuals.parameters());
    low_ = Eigen::VectorXd::Zero(n);
    high_ = Eigen::VectorXd::Zero(n);
    for (std::size_t k = 0; k < part_parameters; ++k) {
      low_[static_cast<Eigen::Index>(k)] = -farthest[k];
      high_[static_cast<Eigen::Index>(k)] = farthest[k];
    }
    for (std::size_t l = 0; l < residuals.logs().size(); ++l) {
      const double interval = residuals.logs()[l].before_on_s;
      low_[static_cast<Eigen::Index>(HeldResiduals::power_on_of(l))] = -1.2 * interval;
      high_[static_cast<Eigen::Index>(HeldResiduals::power_on_of(l))] = 0.2 * interval;
      low_[static_cast<Eigen::Index>(HeldResiduals::zero_of(l))] = -5;
      high_[static_cast<Eigen::Index>(HeldResiduals::zero_of(l))] = 5;
    }
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
      residuals_.evaluate(p, r, jacobian);
      return true;
    };
    const Minimum best = minimise(problem);
    if (progress_.cancelled()) throw base::Cancelled();
    return best;
  }

  void keep(std::size_t k) { low_[static_cast<Eigen::Index>(k)] = high_[static_cast<Eigen::Index>(k)] = 0; }
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

void describe(const HeldResiduals& residuals, const HeldFit& fit, std::size_t left_out,
              std::vector<std::string>& remarks) {
  for (std::size_t k = 0; k < part_parameters; ++k) {
    if (fit.identified[k]) continue;
    remarks.push_back(fmt::format("{}: the logs do not tell; kept as in the part that it is like", names[k]));
  }
  const double share = static_cast<double>(left_out) / static_cast<double>(residuals.currents_compared());
  if (left_out > 0) {
    remarks.push_back(fmt::format(
        "{} of {} compared points stray and are left out{}", left_out, residuals.currents_compared(),
        share > 0.1 ? ": the model does not follow these logs well; look at the picture" : ""));
  }
  remarks.push_back(
      fmt::format("across the leads, cold: {} Ω, standard error {} Ω: the sum of motor and thermistor is "
                  "known better than either",
                  base::significant(fit.cold_ohm, 4), base::significant(fit.cold_ohm_error, 2)));
  for (std::size_t l = 0; l < residuals.logs().size(); ++l) {
    const ReducedLog& log = residuals.logs()[l];
    if (std::fabs(fit.zero_A[l]) > 0.005) {
      remarks.push_back(fmt::format("{}: the clamp read {} A without current; taken off", log.name,
                                    base::significant(fit.zero_A[l], 2)));
    }
    if (!log.has_off) {
      remarks.push_back(
          fmt::format("{}: begins with the power on: the clamp's zero is known less well; log a second "
                      "before power on",
                      log.name));
    }
    std::vector<double> measured;
    for (const Bin& bin : log.bins) measured.push_back(bin.current_A - fit.zero_A[l]);
    if (!half_current_s(log, measured, log.first_current_A - fit.zero_A[l])) {
      remarks.push_back(log.name + ": ends before the current has halved: it tells little of the thermistor");
    }
  }
}

}  // namespace

HeldFit fit_held(HeldResiduals residuals, base::Progress& progress) {
  Fitter fitter(residuals, progress);
  const auto starts = held_starts(residuals);
  Minimum best;
  best.sum_of_squares = std::numeric_limits<double>::infinity();
  for (std::size_t k = 0; k < starts.size(); ++k) {
    progress.report(0.7 * static_cast<double>(k) / static_cast<double>(starts.size()),
                    "fitting the held logs");
    const Minimum one = fitter.solve(starts[k], 25, 1e-5);
    if (one.usable && one.sum_of_squares < best.sum_of_squares) best = one;
  }
  if (!best.usable) throw base::StudyError("the held logs cannot be followed: no start led to a fit");

  // One parameter after the other is kept, the one that is told least first, until the rest stand.
  Eigen::VectorXd p = best.p;
  Eigen::MatrixXd spread;
  std::size_t left_out = 0;
  for (std::size_t round = 0; round <= part_parameters; ++round) {
    progress.report(0.7 + 0.04 * static_cast<double>(round), "telling what the logs tell");
    p = fitter.robust(p, left_out);
    residuals.set_noise(residuals.noise(p, fitter.free_parameters()), false);
    p = fitter.solve(p, 60, 1e-11).p;
    spread = fitter.spread(p);
    const auto weakest = worst(fitter, p, spread);
    if (!weakest) break;
    fitter.keep(*weakest);
    p[static_cast<Eigen::Index>(*weakest)] = 0;
  }

  HeldFit fit;
  fit.values = residuals.values(p, 0);
  fit.values[power_on] = 0;
  const auto n = static_cast<Eigen::Index>(part_parameters);
  fit.covariance = spread.topLeftCorner(n, n);
  for (std::size_t k = 0; k < part_parameters; ++k) {
    fit.identified[k] = !fitter.kept(k);
    fit.standard_error[k] = std::sqrt(spread(static_cast<Eigen::Index>(k), static_cast<Eigen::Index>(k)));
  }
  HeldValues slope{};
  fit.cold_ohm = residuals.model().cold_ohm(residuals.values(p, 0), &slope);
  const Eigen::VectorXd towards = Eigen::Map<const Eigen::VectorXd>(slope.data(), n);
  fit.cold_ohm_error = std::sqrt(towards.dot(fit.covariance * towards));
  double squares = 0, count = 0;
  for (std::size_t l = 0; l < residuals.logs().size(); ++l) {
    fit.power_on_s.push_back(p[static_cast<Eigen::Index>(HeldResiduals::power_on_of(l))]);
    fit.zero_A.push_back(p[static_cast<Eigen::Index>(HeldResiduals::zero_of(l))]);
    const auto noise = residuals.noise(p, fitter.free_parameters())[l].sample_A;
    squares += noise * noise;
    count += 1;
  }
  fit.residual_rms_A = std::sqrt(squares / count);
  describe(residuals, fit, left_out, fit.remarks);
  return fit;
}

}  // namespace latchwright::bench
