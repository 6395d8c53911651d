// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "report/cycle_report.h"

namespace latchwright::report {

/// One line for what repeated locking gave; says how long the rest is only where the recovery is known.
/// circuit: of all doors, at the report's condition.
std::string look_sentence(const sim::Circuit& circuit, const CycleReport& report);

}  // namespace latchwright::report
