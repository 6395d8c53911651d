// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "reference/compare/compare.h"

// Parts at the ends of what a job may hold: the worked case of docs/model.md section 10 with single figures
// taken there.
namespace latchwright::tests {

/// A row of the table: the same part held, and locked and unlocked.
struct ExtremeRow {
  std::string name;  ///< what is extreme
  StudyCase stall, cycles;
};
std::vector<ExtremeRow> extreme_rows();

/// What a row came to: the first door's figures by the engine and by CVODE, and the worst of all figures.
struct ExtremeResult {
  Outcome stall, cycles;
  double largest = 0;  ///< of the limits of section 9, of any figure
  /// First of the figures of this name.
  const Held* find(const char* what) const;
};
ExtremeResult compare(const ExtremeRow& row);

/// All rows as JSON, for docs/validation.md; good: becomes false where a figure is wrong.
std::string extremes_json(bool& good);

}  // namespace latchwright::tests
