// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "choose/size.h"
#include "model/raw.h"
#include "report/text_table.h"

namespace latchwright::report {

model::Raw size_json(const model::Study& study, const choose::SizeResult& result);
std::string size_text(const model::Study& study, const choose::SizeResult& result, const Style& style);
/// The checks of every set, one line a row.
std::string size_csv(const choose::SizeResult& result);

/// The key of a reason in results.
std::string_view key_of(choose::Reason reason);

}  // namespace latchwright::report
