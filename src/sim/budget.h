// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>

namespace latchwright::sim {

/// The most that a study may take before it is given up, in steps (docs/model.md section 9): far above what
/// any sensible job needs, so that no accepted job goes on without end.
struct Budget {
  std::size_t pulse_steps = 1'000'000;   ///< of one pulse, moving and standing
  std::size_t study_steps = 10'000'000;  ///< of all pulses of one study
  std::size_t stand_steps = 1'000'000;   ///< of one stretch at standstill, a stall study's too
};

}  // namespace latchwright::sim
