// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/progress.h"
#include "model/parts.h"

namespace latchwright::bench {

/// One reading that a sound actuator should give today.
struct Expected {
  std::string name;             ///< "cold resistance", ...
  std::optional<double> value;  ///< none: does not happen (no trip); why is then said in `remark`
  double low = 0, high = 0;     ///< over the part's tolerances
  std::string unit;             ///< as in results: "ohm", "A", "s"
  std::string remark;
};

/// Resistance across the leads while it cools after a trip.
struct CoolingPoint {
  double minutes = 0;
  double resistance_ohm = 0;
  double low_ohm = 0, high_ohm = 0;
};

struct Sheet {
  double ambient_C = 0;
  double supply_V = 0;  ///< at the leads
  std::vector<Expected> readings;
  std::vector<CoolingPoint> cooling;
};

/// What a sound actuator should read today, held and cooling. Throws base::Cancelled.
Sheet make_sheet(const model::Actuator& actuator, const model::PtcCurve& curve, double ambient_C,
                 double supply_V, base::Progress& progress);

}  // namespace latchwright::bench
