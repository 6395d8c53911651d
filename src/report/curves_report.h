// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "model/study.h"
#include "report/result_head.h"
#include "report/text_table.h"
#include "verdict/time_current.h"

namespace latchwright::report {

model::Raw curves_json(const verdict::TimeCurrent& picture);
/// Tables of times at the currents that matter, for an installer to read.
std::string curves_text(const model::Study& study, const verdict::TimeCurrent& picture, const Style& style);
/// `series,current_A,time_s`, one row a point.
std::string curves_csv(const verdict::TimeCurrent& picture);

}  // namespace latchwright::report
