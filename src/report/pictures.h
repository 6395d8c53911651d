// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/progress.h"
#include "report/cycle_report.h"
#include "report/picture.h"
#include "report/stall_report.h"
#include "sim/trace.h"
#include "verdict/time_current.h"

// One builder a picture. Units are those of files (degC, s, A, mm, N, mN·m). Hues: a door keeps its own, by
// its index.
namespace latchwright::report {

/// Winding (solid) and thermistor (dashed) of every door over the study, each winding class as a limit,
/// missed throws marked. `samples`: a trace of that study, doors as in the report.
Picture cycling_temperatures(const CycleReport& report, const std::vector<sim::TraceSample>& samples);
/// Current of every door over the same time, missed throws marked at the pulse in which they happen.
Picture cycling_current(const CycleReport& report, const std::vector<sim::TraceSample>& samples);
/// The rest after a lockout: thermistor and winding of the doors that stopped, with the moments at which the
/// throw works again and at which all has cooled. None where the study has no lockout or no recovery.
std::optional<Picture> recovery(const model::Study& study, const CycleReport& report,
                                const std::vector<sim::TraceSample>& samples);

/// Winding and thermistor held at standstill over a logarithmic time, trip times marked, fault limits drawn.
Picture stall_temperatures(const StallReport& report, const std::vector<sim::TraceSample>& samples);
/// Current at standstill, trip marked at half of the first.
Picture stall_current(const StallReport& report, const std::vector<sim::TraceSample>& samples);

/// Ratio curve of a door's thermistor on a logarithmic axis, its switch point and its working points.
struct WorkingPoint {
  std::string name;  ///< "after 10 cycles"
  double ptc_C = 0;
};
Picture thermistor_curve(const model::Study& study, std::size_t door,
                         const std::vector<WorkingPoint>& points);

/// Force that the rod needs over its travel, lock and unlock, cold as at this ambient, and what the actuator
/// can push at standstill and at this voltage: fresh, and with the temperatures of `heated` (none: not
/// drawn).
Picture rod_force(const model::Study& study, std::size_t door, const verdict::At& at,
                  const std::optional<physics::Temperatures>& heated);
/// Travel of the rod (left) and current (right) of one first throw of the door with all doors driven.
Picture throw_in_time(const model::Study& study, std::size_t door, const verdict::At& at, double on_s);

/// Torque at the shaft and current over speed of a door's motor alone on its run: fresh, and with `heated`.
Picture motor_curves(const model::Study& study, std::size_t door, const verdict::At& at,
                     const std::optional<physics::Temperatures>& heated);

/// Fuses (bands), wires and thermistors; with `fuse`, only that fuse and what stands next downstream of it.
Picture time_current(const verdict::TimeCurrent& curves, std::optional<std::size_t> fuse = std::nullopt);

/// Loss in V along feed and run of a door at standstill and running, as points of the run: battery, fuse,
/// feed, relay, run, actuator.
Picture voltage_along_the_run(const model::Study& study, std::size_t door, const verdict::At& at);
/// Conductor temperature of the feed (no door) or a door's run over time, all its doors stalled at this
/// condition.
Picture wire_temperature(const model::Study& study, std::optional<std::size_t> door, const verdict::At& at,
                         base::Progress& progress);

/// Cycles before the first missed throw over ambient from cold_C to hot_C + 20 K, one line a gap, at most
/// `most` cycles. Throws base::Cancelled.
Picture lockout_over_ambient(const model::Study& study, double voltage_V, double on_s,
                             const std::vector<double>& gaps_s, int most, unsigned workers,
                             base::Progress& progress);

/// Margins of the worst rows, one line a check, a logarithmic axis with 1 drawn; the shape of a mark says the
/// verdict.
Picture margins(const model::Study& study, const verdict::Rows& worst);

}  // namespace latchwright::report
