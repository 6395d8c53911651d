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

/// Current while the rotor is held, from power on.
struct HeldPoint {
  double s = 0;
  double current_A = 0;
  double low_A = 0, high_A = 0;
};

/// Of the time after which the winding of the part, or of one at an end of one tolerance, passes its class:
/// ends of several together are up to a sixth earlier (tests/bench/sheet_test.cpp draws some), and a watch is
/// read late.
inline constexpr double off_by_share = 0.8;
/// Nor longer than this where one of these passes its class.
inline constexpr double longest_warm_hold_s = 300;

struct Sheet {
  double ambient_C = 0;
  double supply_V = 0;  ///< at the leads
  double held_s = 0;    ///< how long it was held before it cooled: 10 s past its trip
  /// What has not tripped by then must be switched off: off_by_share of the time after which the winding of
  /// one of these passes its limit.
  std::optional<double> off_by_s;
  std::vector<std::string> warnings;  ///< what must be known before it is held
  std::vector<Expected> readings;
  std::vector<CoolingPoint> cooling;  ///< empty where it does not trip
  std::vector<HeldPoint> held;        ///< times from 10 ms up, growing
  std::vector<std::string> scatter;   ///< what low and high are made of, in words
};

/// What a sound actuator should read today, held and cooling. Nothing is given of a time at which the winding
/// of the part as stated would be past its class, or has not tripped and should have been switched off; ends
/// count only while they may be held. Each cause of scatter (tolerances that the part states, the usual ones
/// for the rest, a thermistor that has tripped before) is taken to its ends by itself; the factors by which
/// they move a reading add up in quadrature of their logarithms, up and down apart (docs/model.md section
/// 12). `high` of a time is infinite where one end never gets there. Throws base::Cancelled.
Sheet make_sheet(const model::Actuator& actuator, const model::PtcCurve& curve, double ambient_C,
                 double supply_V, base::Progress& progress);

}  // namespace latchwright::bench
