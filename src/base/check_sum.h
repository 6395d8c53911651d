// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace latchwright::base {

/// FNV-1a, 64 bits (Fowler, Noll, Vo): tells two inputs apart that differ by a slip. No measure of security:
/// anybody can make a text with a given sum.
std::uint64_t check_sum(std::string_view bytes);

/// Sixteen hex digits in groups of four, for people to compare: "cbf2-9ce4-8422-2325".
std::string check_sum_text(std::uint64_t sum);

}  // namespace latchwright::base
