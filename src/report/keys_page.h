// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

namespace latchwright::report {

/// Every key of the two file formats as a page of Markdown, docs/keys.md: unit, range, default and meaning,
/// written from the field tables.
std::string keys_page();

}  // namespace latchwright::report
