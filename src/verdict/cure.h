// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "verdict/checks.h"

namespace latchwright::verdict {

/// The nearest single change of the job that lets this row pass, found by evaluating the check again with it:
/// none when no change of pulse, gap, wire, length, fuse, relay or actuator within the catalogue does.
/// Settings are rounded to the safe side. `findings`: of the job as it stands.
std::optional<Change> find_cure(const CheckRow& row, const Findings& findings);

/// Every sensible single change that lets this row pass, nearest first: the first is find_cure's. What they
/// do to other checks is not looked at.
std::vector<Change> find_cures(const CheckRow& row, const Findings& findings);
/// The same for several rows, ways spread over `workers` threads; the result does not depend on their number.
/// Throws base::Cancelled.
std::vector<std::vector<Change>> find_cures(const std::vector<const CheckRow*>& rows,
                                            const Findings& findings, unsigned workers);

}  // namespace latchwright::verdict
