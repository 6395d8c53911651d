// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "model/study.h"
#include "verdict/check_row.h"

// A row of the checks in the words of the trade.
namespace latchwright::report {

/// "fuse protects the wire".
std::string title_of(const verdict::CheckRow& row);
/// "door run, tailgate".
std::string where_text(const model::Study& study, const verdict::CheckRow& row);
/// "(9 V, -20 °C)", "(any)".
std::string at_text(const verdict::CheckRow& row);
/// "33.0 A", "never opens".
std::string figure_text(const verdict::CheckRow& row, bool is_need);
/// "3 of 5 cycles", "have 31 N, need 33 N": have and need before the margin.
std::string have_and_need(const verdict::CheckRow& row);
/// "1.05", "–".
std::string margin_text(const verdict::CheckRow& row);

}  // namespace latchwright::report
