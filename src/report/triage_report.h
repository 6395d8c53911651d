// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "bench/readings.h"
#include "bench/triage.h"
#include "report/result_head.h"
#include "report/text_table.h"

namespace latchwright::report {

struct TriageReport {
  std::string part_id;
  std::string part_title;
  bool invented_part = false;
  bench::Readings readings;
  bench::Triage result;
};

/// "waiting to cool": a state as the trade says it.
const char* words_of(bench::State state);

model::Raw triage_json(const TriageReport& report);
std::string triage_text(const TriageReport& report, const Style& style);

}  // namespace latchwright::report
