// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/check_sum.h"

#include <fmt/format.h>

namespace latchwright::base {

std::uint64_t check_sum(std::string_view bytes) {
  std::uint64_t sum = 0xcbf29ce484222325u;
  for (const char c : bytes) {
    sum ^= static_cast<unsigned char>(c);
    sum *= 0x100000001b3u;
  }
  return sum;
}

std::string check_sum_text(std::uint64_t sum) {
  return fmt::format("{:04x}-{:04x}-{:04x}-{:04x}", sum >> 48 & 0xffff, sum >> 32 & 0xffff,
                     sum >> 16 & 0xffff, sum & 0xffff);
}

}  // namespace latchwright::base
