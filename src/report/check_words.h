// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "model/study.h"
#include "verdict/check_row.h"

// How the text of a check names what it is about.
namespace latchwright::report {

/// "door run, tailgate", "main fuse": the subject of a row, a door's name where there is one. part: the
/// subject where there is none.
std::string where_text(const model::Study& study, verdict::CheckId id, const std::optional<std::size_t>& door,
                       const std::string& part);

/// "fuse protects the wire".
std::string title_of(verdict::CheckId id);

/// The same of a row.
std::string where_of(const model::Study& study, const verdict::CheckRow& row);
/// "(9 V, -20 °C)", "(any)".
std::string at_text(const verdict::CheckRow& row);
/// "33.0 A", "never opens".
std::string figure_text(const verdict::CheckRow& row, bool is_need);
/// "the fuse may never open": a figure that is not there, as part of a sentence.
std::string absent_clause(const verdict::CheckRow& row, bool is_need);
/// "3 of 5 cycles", "have 31 N, need 33 N", "have 5.00 s, the fuse may never open": have and need before the
/// margin.
std::string have_and_need(const verdict::CheckRow& row);

/// The worst subject of each check, in the order of the checks.
verdict::Rows one_a_check(const verdict::Rows& worst);

/// Three digits, a dash where nothing is needed.
std::string margin_text(const std::optional<double>& margin);

/// The table "What would cure it": every way for every failing row, with what else it moves; empty where
/// nothing fails. Its pointers must be those of the study's own doors.
std::string cures_text(const model::Study& study, const verdict::Rows& rows);

}  // namespace latchwright::report
