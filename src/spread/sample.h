// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "base/progress.h"
#include "sim/lockout.h"
#include "spread/spread_tally.h"
#include "spread/uncertain.h"

namespace latchwright::spread {

/// What one installation does.
struct SampleFigures {
  int cycles = 0;                       ///< whole ones before a missed throw, counted to counted_cycles
  std::optional<double> trip_s;         ///< the first thermistor's, all doors held
  double peak_winding_C = 0;            ///< of all doors, held
  std::optional<double> first_throw_s;  ///< the slowest, at the weak condition; none: one is missed
  std::optional<double> recovery_s;     ///< where it stops before the wanted cycles and a rest helps
};

/// Looks at installations of a study, given by their places. Serves any number of threads.
class Sampler {
 public:
  Sampler(const model::Study& study, const SpreadPlan& plan);

  const UncertainStudy& uncertain() const { return uncertain_; }
  double weak_V() const { return weak_V_; }
  double weak_C() const { return weak_C_; }

  /// Throws base::Cancelled, base::StudyError.
  SampleFigures figures(const std::vector<double>& places, base::Progress& progress) const;
  /// Only the cycles, counted to `most`.
  int cycles(const std::vector<double>& places, int most, const base::Progress& progress) const;
  /// Only the first trip.
  std::optional<double> trip_s(const std::vector<double>& places, base::Progress& progress) const;

 private:
  struct Held {
    std::optional<double> trip_s;
    double peak_winding_C = 0;
  };
  sim::WorstCount count(const Installation& one, int most, const base::Progress& progress) const;
  std::optional<double> recovery(const Installation& one, const sim::WorstCount& stopped,
                                 base::Progress& progress) const;
  Held hold(const Installation& one, double limit_s, base::Progress& progress) const;
  std::optional<double> first_throw(const Installation& one) const;

  UncertainStudy uncertain_;
  SpreadPlan plan_;
  double weak_V_, weak_C_;
  bool two_forces_;
};

}  // namespace latchwright::spread
