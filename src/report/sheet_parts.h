// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "report/job_sheet.h"

namespace latchwright::report {

/// Every part of a complete study: where it sits, and what its figures stand on.
SheetTable part_table(const model::Study& study);
/// The sources' notes in full, parts with the same note together.
SheetList source_notes(const model::Study& study);

}  // namespace latchwright::report
