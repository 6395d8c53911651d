// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QString>

#include "model/study.h"
#include "report/run_links.h"
#include "units/shown_unit.h"
#include "verdict/check_row.h"

// What a row of the verdict says, in the units that the reader chose.
namespace latchwright::desk {

/// What sits in a link: "1 mm² · 7.5 A", "20.0 N".
QString part_words(const report::LinkState& state, units::UnitSystem units);
/// "(9 V, -20 °C)", "(any)".
QString condition_words(const std::optional<verdict::At>& at, units::UnitSystem units);
/// "3 of 5 cycles", "have 31 N, need 33 N".
QString have_and_need_words(const verdict::CheckRow& row, units::UnitSystem units);
/// "fuse protects the wire, door run, tailgate (12.6 V, 80 °C)".
QString subject_words(const model::Study& study, const verdict::CheckRow& row, units::UnitSystem units);
/// The row in full, for tool tips and screen readers: what, where, condition, have and need, margin, word,
/// why.
QString row_words(const model::Study& study, const verdict::CheckRow& row, units::UnitSystem units);

/// A text as a tool tip that breaks its lines, whatever characters are in it.
QString tip_text(const QString& text);

}  // namespace latchwright::desk
