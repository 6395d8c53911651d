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
  sim::CycleResult result;
  bool invented_parts = false;
};

model::Raw cycle_json(const CycleReport& report);
std::string cycle_text(const CycleReport& report, const Style& style);

}  // namespace latchwright::report
