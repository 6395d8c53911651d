// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "verdict/checks.h"

namespace latchwright::verdict {

/// The one change of the job that lets this row pass, found by evaluating the check again with it: none when no single
/// change of pulse, gap, wire, fuse, relay or actuator within the catalogue does. Settings are rounded to the safe
/// side. `findings`: of the job as it stands.
std::optional<Change> find_cure(const CheckRow& row, const Findings& findings);

}  // namespace latchwright::verdict
