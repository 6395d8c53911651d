// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "base/progress.h"
#include "model/study.h"

namespace latchwright::spread {

/// What a map shows beside ambient.
enum class MapAxis { gap, on };

/// What is asked of a map.
struct MapPlan {
  double voltage_V = 0;
  double ambient_from_C = 0, ambient_to_C = 0;
  MapAxis over = MapAxis::gap;
  double from_s = 0, to_s = 0;  ///< of the rest or the pulse; a pulse from 0: from the shortest that throws
  double on_s = 0, gap_s = 0;   ///< the one that `over` is not is used as it stands; the other: to be counted
  int cycles = 0;               ///< wanted: the boundary is safe for so many
};

/// The job's own: usual voltage, coldest ambient to 20 K above the hottest, pulse, rest and cycles; rests
/// from 0 to 10 s, pulses to 3 s, or to twice the job's own where that is more.
MapPlan usual_map(const model::Study& study, MapAxis over);
/// The cycles that a job wants from this ambient on: hot_cycles where that is its hottest or more.
int wanted_from(const model::Job& job, double ambient_C);

/// Where the wanted cycles just pass at one ambient.
struct BoundaryPoint {
  double ambient_C = 0;
  double value_s = 0;  ///< shortest rest, longest pulse
};

/// Cycles to lockout over ambient and rest or pulse: exact counts as the lockout check makes them.
struct LockoutMap {
  MapPlan plan;                               ///< from_s as it came out
  int most = 0;                               ///< cycles are counted up to here: four times the wanted ones
  std::vector<double> ambient_C;              ///< rising
  std::vector<double> values_s;               ///< rising
  std::vector<std::vector<int>> cycles_done;  ///< [ambient][value]
  std::vector<BoundaryPoint> boundary;        ///< rising ambient; only where it lies within the map
};

/// How the lines of a map lie: few at first, more where the count jumps between two of them.
inline constexpr std::size_t most_ambients = 21, most_values = 25;
inline constexpr double least_ambient_step_K = 2.5, time_steps_per_s = 100;

/// Any number of workers gives the same map. The study must be complete, both ranges in order. Throws
/// base::Cancelled and base::StudyError.
LockoutMap make_map(const model::Study& study, const MapPlan& plan, unsigned workers,
                    base::Progress& progress);

}  // namespace latchwright::spread
