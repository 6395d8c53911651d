// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "model/raw.h"

namespace latchwright::report {

// JSON Schemas (draft 2020-12) of the two file formats, written from the field tables: keys, types, ranges, defaults,
// meanings with units. An editor that knows them completes and checks while one types. What a schema cannot say
// (orderings between figures, unique names, references that lead somewhere) the program checks.

/// Of a job file.
model::Raw job_schema();
/// Of a part file.
model::Raw parts_schema();

}  // namespace latchwright::report
