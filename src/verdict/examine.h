// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>

#include "verdict/checks.h"

namespace latchwright::verdict {

/// A reading with clamp and watch that this installation should show, with the band of its tolerances. Without a unit:
/// what must not be tried, and why.
struct ProveReading {
  std::string reading;
  std::optional<double> value;
  std::optional<double> low;
  std::optional<double> high;
  std::string unit;
};

/// Everything that is said of an installation. Immutable once made.
struct Examination {
  Rows all;    ///< every subject at every corner
  Rows worst;  ///< one row a check and subject, with its cure where it fails
  std::size_t weakest = 0;  ///< index into worst
  bool pass = false;        ///< nothing fails
  std::vector<ProveReading> prove;
};

/// All checks of a complete study at every corner, with cures for what fails (and for wires that only a partial
/// fault threatens). The result does not depend on the number of workers. Throws base::Cancelled.
/// Most of the time goes into cures: `judged` is told before, with everything but those.
Examination examine(const model::Study& study, unsigned workers, base::Progress& progress,
                    const std::function<void(const Examination&)>& judged = {});

/// The readings at usual voltage and ambient: all doors at once, and the first door held that stays within its
/// winding's class all the while; where none does, a warning in place of the latter.
std::vector<ProveReading> readings_to_prove(const model::Study& study);

}  // namespace latchwright::verdict
