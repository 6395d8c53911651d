// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "bench/sheet.h"
#include "report/picture.h"
#include "report/result_head.h"
#include "report/text_table.h"

// What a sound actuator should read today, for the bench.
namespace latchwright::report {

struct BenchReport {
  std::string part;   ///< id
  std::string title;  ///< of the part
  bool invented = false;
  bench::Sheet sheet;
};

model::Raw bench_json(const BenchReport& report);
std::string bench_text(const BenchReport& report, const Style& style);
/// Minutes after power off and the resistance across the leads, with its band.
std::string bench_csv(const BenchReport& report);

/// What must be minded with an actuator on the bench, beside the cautions that hold everywhere.
const std::vector<std::string>& bench_cautions();

/// A reading's figure for people, in its own unit: "2.28 Ω", "42 s"; "–" where there is none.
std::string reading_text(double value, const bench::Expected& reading);

/// Resistance across the leads while it cools after a trip; none where it does not trip.
std::vector<Picture> bench_pictures(const BenchReport& report);
/// The points of a cooling that a table shows.
std::vector<bench::CoolingPoint> cooling_rows(const bench::Sheet& sheet);

}  // namespace latchwright::report
