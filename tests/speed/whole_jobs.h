// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

namespace latchwright::tests::speed {

/// Times of whole jobs by the engine alone.
struct WholeJobs {
  double check_1_s = 0,
         check_2_s = 0;     ///< all checks of docs/examples/five-door-estate.json, by 1 and 2 workers
  bool identical = false;   ///< both gave the same result, digit by digit
  double pulses_per_s = 0;  ///< cycles of that job's five doors
  struct Doors {
    int doors = 0;
    double door_cycle_s = 0;  ///< one cycle of one door, among so many equal ones
  };
  std::vector<Doors> doors;
};
WholeJobs measure_whole_jobs();

}  // namespace latchwright::tests::speed
