// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <utility>
#include <vector>

#include "report/bench_report.h"
#include "report/picture.h"
#include "sim/cycle.h"
#include "verdict/examine.h"

// What a job sheet says of a study, as figures.
namespace latchwright::report {

/// How often one may lock and unlock in a row at an ambient, and the wait after it stopped.
struct UseInARow {
  verdict::At at;  ///< the worse of usual and charging voltage
  int cycles = 0;  ///< whole ones, thermistors tripped before, as the lockout check counts
  int wanted = 0;
  int looked = 0;                  ///< nobody counted further
  std::pair<int, int> band{0, 0};  ///< cycles for thermistors as stated and at their tolerance's ends
  std::vector<std::size_t> doors;  ///< that stop first
  /// Where it stops; with thermistors at that end of their tolerance that stops where they do not as stated.
  std::optional<sim::Recovery> recovery;

  bool stops() const { return cycles < looked; }
  /// Or would with other thermistors of the same kind.
  bool may_stop() const { return band.first < looked; }
};

/// One kind of actuator and the doors that have it.
struct ActuatorBench {
  BenchReport report;  ///< at the job's usual ambient, its usual voltage at the leads
  std::vector<std::size_t> doors;
};

struct SheetFindings {
  verdict::Examination examination;
  UseInARow cold, usual, hot;
  std::vector<ActuatorBench> actuators;  ///< by first door
  std::vector<Picture> pictures;
};

/// Examines a complete study and adds what the sheet says beyond that. The result does not depend on the
/// number of workers. Throws base::Cancelled.
SheetFindings find_for_sheet(const model::Study& study, unsigned workers, base::Progress& progress);

}  // namespace latchwright::report
