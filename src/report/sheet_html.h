// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>

#include "report/job_sheet.h"
#include "report/picture_writer.h"

namespace latchwright::report {

/// The sheet as one HTML file that needs nothing else: no network, no script, pictures inside as drawings.
/// Also well-formed XML. Reads on a narrow screen, prints with a page a section on whatever paper is in the
/// printer. writer: draws the pictures; null: the sheet says that they are left out.
std::string sheet_html(const JobSheet& sheet, PictureWriter* writer);

/// A text as it may stand between tags and in attributes; what XML has no place for becomes a blank.
std::string escaped(std::string_view text);

}  // namespace latchwright::report
