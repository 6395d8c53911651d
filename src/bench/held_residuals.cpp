// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/held_residuals.h"

#include <algorithm>
#include <cmath>

namespace latchwright::bench {

namespace {

constexpr double case_sd_C = 1.5;     // contact thermometer on a can
constexpr double case_readings = 10;  // as many as a whole log counts for: their errors go together

// Until the motor stands at the held rod it draws less: as if the power came on so much later (0 to 20 ms).
constexpr double free_way_s = 0.006, free_way_sd_s = 0.01;

/// Between the last sample without power and the first with it again, s; the longest of them.
double widest_again_s(const ReducedLog& log) {
  double widest = 0;
  bool before = false;
  for (std::size_t b = 1; b < log.bins.size(); ++b) {
    const Bin &off = log.bins[b - 1], &on = log.bins[b];
    before = before || off.on;
    if (!before || off.on || !on.on) continue;
    widest = std::max(widest, on.time_s - on.half_width_s - off.time_s - off.half_width_s);
  }
  return widest;
}

}  // namespace

KnownZero known_zero(const ReducedLog& log) {
  return log.zero_A ? KnownZero{*log.zero_A, log.zero_sd_A} : KnownZero{0, unknown_zero_A};
}

double cold_reading_sd(double ohm) { return 0.01 + 0.01 * ohm; }

HeldResiduals::HeldResiduals(const HeldModel& model, std::vector<ReducedLog> logs,
                             std::optional<double> cold_ohm)
    : model_(model), logs_(std::move(logs)), cold_ohm_(cold_ohm) {
  for (std::size_t l = 0; l < logs_.size(); ++l) {
    double switched_s = -1e9;
    for (std::size_t b = 0; b < logs_[l].bins.size(); ++b) {
      const Bin& bin = logs_[l].bins[b];
      if (b > 0 && bin.on != logs_[l].bins[b - 1].on) switched_s = bin.time_s;
      if (b == 0 && bin.on) switched_s = bin.time_s;
      if (bin.case_C) case_rows_.push_back({l, b, 1});
      // A bin that begins at the switch holds what comes before the motor stands. Without power there is only
      // the clamp's zero, and that is known from there (ReducedLog::zero_A): strays must not push it off.
      if (bin.on && bin.weight > 0 && bin.time_s - switched_s > settle_s) rows_.push_back({l, b, 1});
    }
    sigma_A_.push_back(logs_[l].noise_A);
  }
  compared_ = rows_.size();
  size_ = rows_.size() + case_rows_.size() + own_parameters * logs_.size() + (cold_ohm_ ? 1 : 0);
}

void HeldResiduals::set_cold_ohm(std::optional<double> cold_ohm) {
  if (cold_ohm.has_value() != cold_ohm_.has_value()) cold_ohm ? ++size_ : --size_;
  cold_ohm_ = cold_ohm;
}

HeldValues HeldResiduals::values(const Eigen::VectorXd& p, std::size_t log) const {
  HeldValues values{};
  for (std::size_t k = 0; k < part_parameters; ++k) values[k] = p[static_cast<Eigen::Index>(k)];
  values[power_on] = p[static_cast<Eigen::Index>(power_on_of(log))];
  values[power_again] = p[static_cast<Eigen::Index>(power_again_of(log))];
  return values;
}

void HeldResiduals::evaluate(const Eigen::VectorXd& p, Eigen::VectorXd& r, Eigen::MatrixXd* jacobian) const {
  const bool slopes = jacobian != nullptr;
  r.setZero(static_cast<Eigen::Index>(size_));
  if (slopes) jacobian->setZero(static_cast<Eigen::Index>(size_), p.size());
  const auto put = [&](Eigen::Index row, std::size_t log, const HeldValues& slope, double scale) {
    for (std::size_t k = 0; k < part_parameters; ++k)
      (*jacobian)(row, static_cast<Eigen::Index>(k)) = slope[k] * scale;
    (*jacobian)(row, static_cast<Eigen::Index>(power_on_of(log))) = slope[power_on] * scale;
    (*jacobian)(row, static_cast<Eigen::Index>(power_again_of(log))) = slope[power_again] * scale;
  };
  std::vector<HeldCurrents> logs;
  for (std::size_t l = 0; l < logs_.size(); ++l)
    logs.push_back(model_.currents(logs_[l], values(p, l), slopes));
  Eigen::Index row = 0;
  for (const Row& at : rows_) {
    const Bin& bin = logs_[at.log].bins[at.bin];
    const auto zero = static_cast<Eigen::Index>(zero_of(at.log));
    const double scale = std::sqrt(bin.weight * at.weight) / sigma_A_[at.log];
    double off = logs[at.log].current_A[at.bin] + p[zero] - bin.current_A;
    if (bin.clipped) off = std::min(off, 0.0);
    r[row] = off * scale;
    if (slopes && !(bin.clipped && off == 0)) {
      put(row, at.log, logs[at.log].current_slopes[at.bin], scale);
      (*jacobian)(row, zero) = scale;
    }
    ++row;
  }
  std::vector<double> share(logs_.size(), 0);
  for (const Row& at : case_rows_) share[at.log] += 1;
  for (const Row& at : case_rows_) {
    const double scale = std::sqrt(std::min(1.0, case_readings / share[at.log])) / case_sd_C;
    r[row] = (logs[at.log].case_C[at.bin] - *logs_[at.log].bins[at.bin].case_C) * scale;
    if (slopes) put(row, at.log, logs[at.log].case_slopes[at.bin], scale);
    ++row;
  }
  for (std::size_t l = 0; l < logs_.size(); ++l) {
    const Switched known = switched(l);
    const auto [zero_A, zero_sd] = known_zero(logs_[l]);
    const auto prior = [&](std::size_t place, double mean, double sd) {
      const auto at = static_cast<Eigen::Index>(place);
      r[row] = (p[at] - mean) / sd;
      if (slopes) (*jacobian)(row, at) = 1 / sd;
      ++row;
    };
    prior(power_on_of(l), known.on_s, known.on_sd_s);
    prior(power_again_of(l), known.again_s, known.again_sd_s);
    prior(zero_of(l), zero_A, zero_sd);
  }
  if (cold_ohm_) {
    HeldValues slope{};
    const double sd = cold_reading_sd(*cold_ohm_);
    r[row] = (model_.cold_ohm(values(p, 0), slopes ? &slope : nullptr) - *cold_ohm_) / sd;
    if (slopes) put(row, 0, slope, 1 / sd);
  }
}

HeldResiduals::Switched HeldResiduals::switched(std::size_t log) const {
  // Anywhere in the interval between two samples: as wide as an even spread.
  const double even = 1 / std::sqrt(12.0);
  const double before_s = logs_[log].before_on_s;
  return {.on_s = free_way_s - 0.5 * before_s,
          .on_sd_s = std::hypot(before_s * even, free_way_sd_s),
          .again_s = free_way_s,
          .again_sd_s = std::hypot(widest_again_s(logs_[log]) * even, free_way_sd_s)};
}

std::vector<HeldResiduals::Stray> HeldResiduals::strays(const Eigen::VectorXd& p) const {
  constexpr std::size_t fewest = 4;
  constexpr double shortest_s = 0.1;
  // Whatever its weight in the fit.
  std::vector<HeldCurrents> fitted;
  for (std::size_t l = 0; l < logs_.size(); ++l)
    fitted.push_back(model_.currents(logs_[l], values(p, l), false));
  std::vector<Stray> out(logs_.size());
  for (std::size_t l = 0; l < logs_.size(); ++l) {
    const double zero = p[static_cast<Eigen::Index>(zero_of(l))];
    double squares = 0, samples = 0, stretch_A = 0;
    std::size_t begin = 0, length = 0;
    for (std::size_t k = 0; k <= rows_.size(); ++k) {
      const bool own = k < rows_.size() && rows_[k].log == l;
      double off = 0;
      if (own && !logs_[l].bins[rows_[k].bin].clipped) {
        const Bin& bin = logs_[l].bins[rows_[k].bin];
        off = fitted[l].current_A[rows_[k].bin] + zero - bin.current_A;
        squares += bin.weight * off * off;
        samples += bin.weight;
      }
      if (own && rows_[k].weight == 0) {
        if (length++ == 0) begin = k;
        stretch_A += std::fabs(off);
        continue;
      }
      if (length >= fewest) {
        const double from = logs_[l].bins[rows_[begin].bin].time_s;
        const double to = logs_[l].bins[rows_[begin + length - 1].bin].time_s;
        if (to - from >= shortest_s) {
          out[l].stretches.push_back({from, to, stretch_A / static_cast<double>(length), length});
        }
      }
      length = 0;
      stretch_A = 0;
    }
    if (samples > 0) out[l].rms_A = std::sqrt(squares / samples);
  }
  return out;
}

std::vector<HeldResiduals::Noise> HeldResiduals::noise(const Eigen::VectorXd& p, std::size_t fitted) const {
  Eigen::VectorXd r;
  evaluate(p, r, nullptr);
  std::vector<Noise> out(logs_.size());
  for (std::size_t l = 0; l < logs_.size(); ++l) {
    double squares = 0, products = 0, count = 0;
    std::optional<double> before;
    for (std::size_t k = 0; k < rows_.size(); ++k) {
      const Row& at = rows_[k];
      if (at.log != l) continue;
      if (logs_[l].bins[at.bin].clipped || at.weight < 1) {
        before.reset();
        continue;
      }
      const double off = r[static_cast<Eigen::Index>(k)];
      squares += off * off;
      if (before) products += off * *before;
      count += 1;
      before = off;
    }
    const double own = static_cast<double>(fitted) / static_cast<double>(logs_.size());
    if (count < own + 5) {
      out[l].sample_A = sigma_A_[l];
      continue;
    }
    out[l].sample_A = std::max(sigma_A_[l] * std::sqrt(squares / (count - own)), 1e-5);
    const double rho = squares > 0 ? std::clamp(products / squares, 0.0, 0.98) : 0.0;
    out[l].growth = (1 + rho) / (1 - rho);
  }
  return out;
}

void HeldResiduals::set_noise(const std::vector<Noise>& noise, bool with_growth) {
  for (std::size_t l = 0; l < noise.size(); ++l) {
    sigma_A_[l] = noise[l].sample_A * (with_growth ? std::sqrt(noise[l].growth) : 1.0);
  }
}

std::size_t HeldResiduals::weigh(const Eigen::VectorXd& p, double huber, double trim) {
  for (Row& row : rows_) row.weight = 1;
  Eigen::VectorXd r;
  evaluate(p, r, nullptr);
  std::size_t left_out = 0;
  for (std::size_t l = 0; l < logs_.size(); ++l) {
    std::vector<double> sizes;
    for (std::size_t k = 0; k < rows_.size(); ++k) {
      const bool counts = rows_[k].log == l && !logs_[l].bins[rows_[k].bin].clipped;
      if (counts) sizes.push_back(std::fabs(r[static_cast<Eigen::Index>(k)]));
    }
    if (sizes.empty()) continue;
    const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
    std::nth_element(sizes.begin(), middle, sizes.end());
    // Not below what a sample's noise makes: in a log without noise the model's own rounding is no outlier.
    const double sd = std::max(*middle / 0.6745, logs_[l].noise_A / sigma_A_[l]);
    for (std::size_t k = 0; k < rows_.size(); ++k) {
      if (rows_[k].log != l || logs_[l].bins[rows_[k].bin].clipped) continue;
      const double size = std::fabs(r[static_cast<Eigen::Index>(k)]) / sd;
      if (size > huber) rows_[k].weight = huber / size;
      if (size > trim) {
        rows_[k].weight = 0;
        ++left_out;
      }
    }
  }
  return left_out;
}

}  // namespace latchwright::bench
