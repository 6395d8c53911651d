// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "model/catalogue.h"
#include "report/result_head.h"
#include "report/text_table.h"

namespace latchwright::report {

/// Parts in full as a result.
model::Raw parts_json(const std::vector<const model::Catalogue::Entry*>& entries);
/// A list: id, kind, title, the figures that one chooses by.
std::string parts_list_text(const std::vector<const model::Catalogue::Entry*>& entries);
/// One part in full: each figure with unit and meaning, and where the figures come from.
std::string part_text(const model::Catalogue::Entry& entry);

}  // namespace latchwright::report
