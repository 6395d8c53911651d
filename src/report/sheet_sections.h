// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "report/job_sheet.h"

// The pages of the job sheet, one builder each, and what they share.
namespace latchwright::report {

/// For the owner of the car: no word of the trade.
SheetSection customer_section(const model::Study& study, const SheetFindings& findings);
/// For whoever fits it, or works on it later.
SheetSection installer_section(const model::Study& study, const SheetFindings& findings);
/// Expected readings and boxes for those that were taken.
SheetSection acceptance_section(const model::Study& study, const SheetFindings& findings);
/// Cautions, what the figures take for granted, where they come from.
SheetSection cautions_section(const model::Study& study, const SheetFindings& findings);

/// A text from a file in one line, never cut short of 200 letters.
std::string sheet_text(const std::string& text);
std::string door_name(const model::Study& study, std::size_t door);
/// "front left, rear left and tailgate".
std::string listed(const std::vector<std::string>& names);
std::string door_names(const model::Study& study, const std::vector<std::size_t>& doors);

/// A wait that nobody has to be told twice: rounded up to what one counts or reads off a watch, "15 seconds",
/// "2 minutes", "1.5 hours".
std::string generous_wait(double seconds);

/// Ids of the parts that a study uses, what they refer to included, each once, in order of id.
std::vector<model::PartPtr> used_parts(const model::Study& study);

}  // namespace latchwright::report
