// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/nothing_left.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"

namespace latchwright::verdict {

bool nothing_left(const std::vector<double>& stall_currents) {
  return std::all_of(stall_currents.begin(), stall_currents.end(), [](double amps) { return amps <= 0; });
}

std::string nothing_left_text(double other_load_A) {
  return fmt::format(
      "nothing is left for the motors: the other load of {} A (/feed/other_load_A) takes the voltage",
      base::exact_text(other_load_A));
}

}  // namespace latchwright::verdict
