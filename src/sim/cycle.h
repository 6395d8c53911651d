// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "base/progress.h"
#include "sim/segment.h"

namespace latchwright::sim {

/// What to do over and over (docs/model.md section 5): lock pulse, gap, unlock pulse, gap.
struct CyclePlan {
  int cycles = 10;
  double on_s = 0.5;
  double gap_s = 1.0;
  bool on_through = false;     ///< goes on past a missed throw
  bool want_recovery = false;  ///< solve recovery and cooling after the lockout
};

struct Recovery {
  std::optional<double> recovery_s;  ///< none: no rest brings the throw back
  double cooled_s = 0;
};

struct Lockout {
  int throw_number = 0;              ///< from 1
  std::vector<std::size_t> doors;    ///< of the circuit, that did not complete this throw
  std::optional<Recovery> recovery;  ///< when asked for
};

struct DoorCycling {
  std::optional<double> first_throw_s;     ///< arrival in the first pulse
  std::optional<double> last_throw_s;      ///< arrival in the last completed throw
  std::optional<double> quickest_throw_s;  ///< of all completed throws
  std::optional<double> slowest_throw_s;
  std::vector<int> missed;  ///< throws that it did not complete, from 1
  double peak_current_A = 0;
  double peak_winding_C = 0;
  double peak_ptc_C = 0;
  bool beyond_table = false;
  physics::Temperatures final_C{};  ///< at the end of the last simulated pulse
  double final_winding_C = 0;       ///< what winding figures mean: the hottest coil where the part has one
};

struct CycleResult {
  int cycles_done = 0;
  std::optional<Lockout> lockout;
  int pulses = 0;  ///< simulated
  std::vector<DoorCycling> doors;
};

/// Simulates repeated locking and unlocking from everything at ambient. Observers see every pulse and every
/// gap.
CycleResult simulate_cycles(const Circuit& circuit, const CyclePlan& plan, const Observers& observers,
                            base::Progress& progress);

/// How far repeated locking comes, without peaks or traces.
struct Counted {
  int cycles = 0;                  ///< whole ones before the first missed throw
  std::vector<std::size_t> doors;  ///< of the circuit, that missed it; none where all cycles were done
};
Counted count_until_missed(const Circuit& circuit, const CyclePlan& plan);

/// Only counts: whole cycles before the first missed throw, without peaks or traces.
int count_cycles(const Circuit& circuit, const CyclePlan& plan);

/// Arrival of each door in one throw from everything at ambient.
std::vector<std::optional<double>> single_throw(const Circuit& circuit, double on_s, bool unlocking,
                                                const Observers& observers = {});

/// Recovery and cooling by rest from given temperatures, power off.
Recovery solve_recovery(const Circuit& circuit, const std::vector<double>& temperatures, double on_s,
                        bool unlocking);

}  // namespace latchwright::sim
