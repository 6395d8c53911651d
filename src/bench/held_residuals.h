// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Dense>
#include <optional>
#include <vector>

#include "bench/held_model.h"

namespace latchwright::bench {

/// What the logs of the held actuator leave over at given values: one residual a bin, in standard deviations,
/// then case temperatures, the cold reading, and what is known of each log's clamp and switch.
class HeldResiduals {
 public:
  /// cold_ohm: read across the leads.
  HeldResiduals(const HeldModel& model, std::vector<ReducedLog> logs, std::optional<double> cold_ohm);

  /// The part's, then power on and the clamp's zero (A) of each log.
  std::size_t parameters() const { return part_parameters + own_parameters * logs_.size(); }
  std::size_t size() const { return size_; }
  const std::vector<ReducedLog>& logs() const { return logs_; }
  const HeldModel& model() const { return model_; }

  void evaluate(const Eigen::VectorXd& p, Eigen::VectorXd& r, Eigen::MatrixXd* jacobian) const;

  /// Per log, from residuals of the currents that count: noise of one sample, and how much larger variances
  /// are because neighbours go together, (1 + rho) / (1 - rho).
  struct Noise {
    double sample_A = 0;
    double growth = 1;
  };
  std::vector<Noise> noise(const Eigen::VectorXd& p, std::size_t fitted) const;
  /// Takes these as the logs' standard deviations from now on.
  void set_noise(const std::vector<Noise>& noise, bool with_growth);
  /// Currents farther off than so many standard deviations: counted less in proportion (Huber), or not at
  /// all. Gives how many currents are left out.
  std::size_t weigh(const Eigen::VectorXd& p, double huber, double trim);
  /// What does not follow the fit, by log: how far all compared currents are from it, those that are left out
  /// too (the clamp's largest value apart), and where several in a row are left out.
  struct Stretch {
    double from_s, to_s;  ///< since power on
    double off_A;         ///< mean size
    std::size_t currents;
  };
  struct Stray {
    double rms_A = 0;
    std::vector<Stretch> stretches;
  };
  std::vector<Stray> strays(const Eigen::VectorXd& p) const;
  std::size_t currents_compared() const { return compared_; }

  void set_cold_ohm(std::optional<double> cold_ohm);
  std::optional<double> cold_ohm() const { return cold_ohm_; }
  HeldValues values(const Eigen::VectorXd& p, std::size_t log) const;
  static std::size_t power_on_of(std::size_t log) { return part_parameters + own_parameters * log; }
  static std::size_t power_again_of(std::size_t log) { return power_on_of(log) + 1; }
  static std::size_t zero_of(std::size_t log) { return power_on_of(log) + 2; }
  static constexpr std::size_t own_parameters = 3;  ///< of each log
  /// What is known of a log's switching before it is fitted, s.
  struct Switched {
    double on_s, on_sd_s, again_s, again_sd_s;
  };
  Switched switched(std::size_t log) const;

 private:
  struct Row {
    std::size_t log, bin;
    double weight;  ///< 0..1, times the bin's own
  };

  HeldModel model_;
  std::vector<ReducedLog> logs_;
  std::optional<double> cold_ohm_;
  std::vector<Row> rows_;  ///< currents, log after log
  std::vector<Row> case_rows_;
  std::vector<double> sigma_A_;  ///< of one sample, by log
  std::size_t compared_ = 0, size_ = 0;
};

/// How well a meter and its leads tell the cold resistance, ohm.
double cold_reading_sd(double ohm);
/// What is taken for granted of a clamp whose log has no sample without power, A.
inline constexpr double unknown_zero_A = 0.05;
/// What a log tells of its clamp's zero, A.
struct KnownZero {
  double zero_A, sd_A;
};
KnownZero known_zero(const ReducedLog& log);
/// A clamp's zero is sought so many standard deviations to either side.
inline constexpr double widest_zero = 5;

}  // namespace latchwright::bench
