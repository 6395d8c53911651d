// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "model/study.h"
#include "report/result_head.h"
#include "report/text_table.h"
#include "verdict/examine.h"

namespace latchwright::report {

/// every_row: every subject at every corner instead of each check's worst.
model::Raw check_json(const model::Study& study, const verdict::Examination& examination, bool every_row);
std::string check_text(const model::Study& study, const verdict::Examination& examination, bool every_row,
                       const Style& style);
std::string check_csv(const model::Study& study, const verdict::Examination& examination, bool every_row);

/// One row, and the short form of the weakest one, as every result with checks has them.
model::Raw row_json(const model::Study& study, const verdict::CheckRow& row);
model::Raw weakest_json(const model::Study& study, const verdict::CheckRow& weakest);

/// Whether any part that the job uses is invented.
bool uses_invented_parts(const model::Study& study);

}  // namespace latchwright::report
