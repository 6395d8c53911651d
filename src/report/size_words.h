// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "choose/size.h"
#include "report/text_table.h"

// How the text of a choice names what it is about.
namespace latchwright::report {

/// "feed", "main fuse", "relay", or the door's name.
std::string place_text(const model::Study& study, const model::Place& place);

/// A row in one line: "throw ends within the pulse, tailgate (9 V, -20 °C): have 0.7 s, need 0.23 s: holds".
std::string row_line(const model::Study& study, const verdict::CheckRow& row, const Style& style);

/// Why a part is not in the first set, in a few words.
std::string why_text(const choose::TurnedDown& entry, const Style& style);

}  // namespace latchwright::report
