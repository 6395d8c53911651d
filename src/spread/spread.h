// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "base/progress.h"
#include "spread/spread_tally.h"
#include "spread/uncertain.h"

namespace latchwright::spread {

/// A chance from counted samples, with an interval that holds for the sampling used (docs/model.md section
/// 14).
struct Chance {
  double estimate = 0, low = 0, high = 1;  ///< 0 … 1
  double level = 0.95;
  std::int64_t count = 0, of = 0;
};

/// How one figure is spread over the installations that have it.
struct Distribution {
  std::string name;   ///< "trip_time_s": stable
  std::string title;  ///< "time to the first thermistor's trip, all doors held"
  std::string unit;   ///< "s", "°C", "cycles"
  std::vector<std::pair<double, double>> quantiles;  ///< p, value
  struct Bin {
    double low = 0, high = 0;  ///< in the unit
    double share = 0;          ///< of the installations that have the figure
  };
  std::vector<Bin> bins;     ///< beside each other, rising
  double without = 0;        ///< share of the installations that have no such figure
  std::string without_text;  ///< what that means: "no thermistor trips in 600 s"
};

/// What one source of scatter does to the figure that `SpreadResult::influence_of` names.
struct Influence {
  std::string key, name;              ///< of the source
  double first = 0, first_error = 0;  ///< first-order Sobol index, its standard error
  double total = 0, total_error = 0;  ///< total index
};

/// The chance of a lockout with one source of scatter at half its width, beside the chance with all as they
/// are, of the same samples.
struct Tightening {
  std::string key, name;
  Chance halved;
};

/// A spread study, finished or stopped early.
struct SpreadResult {
  SpreadPlan plan;
  std::vector<Uncertain> sources;
  std::int64_t done = 0;          ///< samples; below plan.samples where it was stopped, or of slices
  std::int64_t wanted_done = 0;   ///< samples that it would have if it had not been stopped
  std::int64_t wanted_tried = 0;  ///< the same of those that influence and tightening are of: as_it_is.of
  double weak_V = 0, weak_C = 0;  ///< the condition that missed throws are of
  Chance lockout;                 ///< stops before the wanted cycles
  Chance missed_throw;            ///< a first throw is missed at the weakest battery and the stiffest cold
  std::vector<Chance> lockout_by_cycles;  ///< [n]: stops before n + 1 whole cycles
  std::vector<Distribution> distributions;
  std::string influence_of;             ///< "cycles before a missed throw"; empty: nothing varies
  std::vector<Influence> influences;    ///< largest total first
  Chance as_it_is;                      ///< lockout, of the samples that the tightenings were tried on
  std::vector<Tightening> tightenings;  ///< lowest chance first; those that change nothing left out
};

inline bool finished(const SpreadResult& result) {
  return result.done == result.wanted_done && result.as_it_is.of == result.wanted_tried;
}

/// Runs the plan's slice over all workers: any number of them gives the same tally. When progress is
/// cancelled it ends with what is done. Throws base::StudyError, naming the sample.
SpreadTally run_spread(const model::Study& study, const SpreadPlan& plan, unsigned workers,
                       base::Progress& progress);

/// What a whole tally, or the part of it that is done, says.
SpreadResult conclude(const SpreadTally& tally);

}  // namespace latchwright::spread
