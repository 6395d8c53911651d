// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "report/result_head.h"
#include "report/text_table.h"
#include "sim/stall.h"

namespace latchwright::report {

struct StallReport {
  std::string title;
  verdict::At at;
  double limit_s = 0;
  bool after_trip = false;
  std::vector<std::string> doors;
  std::vector<sim::DoorStall> stalls;
  std::vector<double> winding_fault_C;  ///< by door
  double other_load_A = 0;              ///< of the feed
  bool invented_parts = false;
};

model::Raw stall_json(const StallReport& report);
std::string stall_text(const StallReport& report, const Style& style);

/// {"winding_C", "case_C", "ptc_C", "housing_C"}; winding_C: the hottest coil where the part has one.
model::Raw temperatures_raw(const physics::Temperatures& T, double winding_C);

}  // namespace latchwright::report
