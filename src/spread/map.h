// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
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
  double from_s = 0, to_s = 0;  ///< of the rest or the pulse
  double on_s = 0, gap_s = 0;   ///< the one that `over` is not is used as it stands
  int cycles = 0;               ///< wanted: the boundary is safe for so many
};

/// Where the wanted cycles just pass at one ambient.
struct BoundaryPoint {
  double ambient_C = 0;
  double value_s = 0;  ///< shortest rest, longest pulse
};

/// Cycles to lockout over ambient and rest or pulse: exact counts as the lockout check makes them.
struct LockoutMap {
  MapPlan plan;
  int most = 0;                               ///< cycles are counted up to here
  std::vector<double> ambient_C;              ///< rising
  std::vector<double> values_s;               ///< rising
  std::vector<std::vector<int>> cycles_done;  ///< [ambient][value]
  std::vector<BoundaryPoint> boundary;        ///< rising ambient; only where it lies within the map
};

/// Any number of workers gives the same map. Throws base::Cancelled and base::StudyError.
LockoutMap make_map(const model::Study& study, const MapPlan& plan, unsigned workers,
                    base::Progress& progress);

}  // namespace latchwright::spread
