// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "verdict/check_row.h"
#include "verdict/findings.h"

namespace latchwright::verdict {

/// All rows of one check: every subject at every corner that the check looks at (docs/model.md section 8).
Rows evaluate(CheckId id, const Findings& findings);
/// All rows of all checks, in their order, on `workers` threads. Throws base::Cancelled.
Rows evaluate_all(const Findings& findings, unsigned workers = 1);

// One function a check; evaluate() calls them.
Rows check_stroke(const Findings& findings);
Rows check_force(const Findings& findings);
Rows check_throw_time(const Findings& findings);
Rows check_lockout(const Findings& findings);
Rows check_winding(const Findings& findings);
Rows check_winding_fault(const Findings& findings);
Rows check_ptc_rating(const Findings& findings);
Rows check_volt_drop(const Findings& findings);
Rows check_wire_heat(const Findings& findings);
Rows check_fuse_load(const Findings& findings);
Rows check_fuse_carry(const Findings& findings);
Rows check_fuse_clear(const Findings& findings);
Rows check_fuse_guard(const Findings& findings);
Rows check_relay(const Findings& findings);

inline constexpr std::string_view main_fuse_name = "main fuse";
inline constexpr std::string_view feed_name = "feed";
inline constexpr std::string_view relay_name = "relay";
inline constexpr std::string_view installation_name = "installation";
/// "fuse, front left": the branch fuse of a door as a subject.
std::string door_fuse_name(const model::Door& door);

}  // namespace latchwright::verdict
