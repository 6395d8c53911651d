// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "report/result_head.h"
#include "report/text_table.h"
#include "sim/cycle.h"

namespace latchwright::report {

struct CycleReport {
  std::string title;
  verdict::At at;
  sim::CyclePlan plan;
  bool after_trip = false;
  std::vector<std::string> doors;
  std::vector<double> winding_class_C;  ///< by door
  std::vector<bool> two_forces;         ///< by door: its rod takes another force when unlocking
  double other_load_A = 0;              ///< of the feed
  sim::CycleResult result;
  bool invented_parts = false;
};

model::Raw cycle_json(const CycleReport& report);
std::string cycle_text(const CycleReport& report, const Style& style);

}  // namespace latchwright::report
