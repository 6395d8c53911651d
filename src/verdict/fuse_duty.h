// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "verdict/fuse_subjects.h"

namespace latchwright::verdict {

/// Whether fuse_load and fuse_carry do not fail for this fuse: the same verdict as their rows give, found
/// with fewer simulations. Corners that a bound on the currents decides are not simulated; the first one that
/// fails ends it.
bool bears_load(const Findings& findings, const FuseSubject& fuse);
bool carries_pulses(const Findings& findings, const FuseSubject& fuse);

}  // namespace latchwright::verdict
