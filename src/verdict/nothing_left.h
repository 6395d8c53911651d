// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

namespace latchwright::verdict {

/// Whether no door draws any current at standstill. With the voltages and brush drops that files may hold,
/// only feed.other_load_A can bring that about (docs/model.md section 2).
bool nothing_left(const std::vector<double>& stall_currents);

/// Says so, without a full stop. other_load_A: of the feed.
std::string nothing_left_text(double other_load_A);

}  // namespace latchwright::verdict
