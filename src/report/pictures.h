// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/progress.h"
#include "report/cycle_report.h"
#include "report/picture.h"
#include "report/stall_report.h"
#include "sim/trace.h"
#include "verdict/time_current.h"

// One builder a picture. Units are those of files (degC, s, A, mm, N, mN·m); speeds in rpm. Hues: a door
// keeps its own, by its index. after_trip: the thermistors have tripped before; the condition then says so.
namespace latchwright::report {

/// How traces of studies are taken for these pictures: of a pulse so many samples; held at standstill from
/// the first moment on, times growing by a share.
inline constexpr int samples_a_pulse = 60;
inline constexpr double stall_spacing_s = 0.01;
inline constexpr double stall_growth = 0.005;

/// Winding (solid) and thermistor (dashed) of every door over the study, each winding class as a limit,
/// missed throws marked. `samples`: a trace of that study, doors as in the report. `only`: no other door is
/// drawn.
Picture cycling_temperatures(const CycleReport& report, const std::vector<sim::TraceSample>& samples,
                             std::optional<std::size_t> only = std::nullopt);
/// Current of every door over the same time, missed throws marked at the pulse in which they happen.
Picture cycling_current(const CycleReport& report, const std::vector<sim::TraceSample>& samples,
                        std::optional<std::size_t> only = std::nullopt);
/// The rest after a lockout: thermistor and winding of the doors that stopped, with the moments at which the
/// throw works again and at which all has cooled. None where the study has no lockout or no recovery.
std::optional<Picture> recovery(const model::Study& study, const CycleReport& report,
                                const std::vector<sim::TraceSample>& samples);

/// Winding and thermistor held at standstill over a logarithmic time, trip times marked, fault limits drawn.
/// Traces for these two pictures have stall_spacing_s and stall_growth, else the first seconds are coarse.
Picture stall_temperatures(const StallReport& report, const std::vector<sim::TraceSample>& samples,
                           std::optional<std::size_t> only = std::nullopt);
/// Current at standstill, trip marked at half of the first; of several doors also all together.
Picture stall_current(const StallReport& report, const std::vector<sim::TraceSample>& samples,
                      std::optional<std::size_t> only = std::nullopt);

/// Ratio curve of a door's thermistor on a logarithmic axis, its switch point and its working points, each
/// with its resistance.
struct WorkingPoint {
  std::string name;  ///< "after 10 cycles"
  double ptc_C = 0;
};
Picture thermistor_curve(const model::Study& study, std::size_t door, const std::vector<WorkingPoint>& points,
                         bool after_trip = false);

/// All doors at some moment of their use.
struct Warmed {
  std::string when;  ///< "after 10 cycles"
  std::vector<physics::Temperatures> doors;
};

/// Force that the rod needs over its travel, lock and unlock, cold as at this ambient, and what the actuator
/// can push at standstill and at this voltage, all doors driven: fresh, and with the temperatures of
/// `warmed` (none: not drawn).
Picture rod_force(const model::Study& study, std::size_t door, const verdict::At& at,
                  const std::optional<Warmed>& warmed = std::nullopt, bool after_trip = false);
/// Travel of the rod (left) and current (right) of a first throw of the door with all doors driven; of its
/// unlocking throw too, where that takes another force; else the slower of the two.
Picture throw_in_time(const model::Study& study, std::size_t door, const verdict::At& at, double on_s,
                      bool after_trip = false);

/// Torque at the shaft and current over speed of a door's motor alone on its run: fresh, and with `warmed`.
Picture motor_curves(const model::Study& study, std::size_t door, const verdict::At& at,
                     const std::optional<Warmed>& warmed = std::nullopt, bool after_trip = false);

/// Fuses (bands), wires and thermistors; with `fuse`, only that fuse and what stands next downstream of it.
Picture time_current(const verdict::TimeCurrent& curves, std::optional<std::size_t> fuse = std::nullopt,
                     bool invented_parts = false);
/// Which of the fuses a door's run hangs on: its own, or the main fuse; the main fuse (no door).
std::size_t fuse_index(const verdict::TimeCurrent& curves, std::optional<std::size_t> door);

/// Loss in V along feed and run of a door at standstill and running, as points of the run: battery, fuse,
/// feed, relay, own fuse and run, ground point. The battery's own resistance is not counted, as in the check.
/// pulse: the job's.
Picture voltage_along_the_run(const model::Study& study, std::size_t door, const verdict::At& at,
                              bool after_trip = false);
/// The door whose actuator loses most of its voltage in the wires at standstill.
std::size_t worst_drop_door(const model::Study& study, const verdict::At& at, bool after_trip = false);

/// Conductor temperature of the feed (no door) or a door's run over time, all doors stalled at this
/// condition: as the check counts it (the current at once, until the thermistors trip), and with the current
/// that the thermistors leave. ambient_C: also where the wire lies. Throws base::Cancelled.
Picture wire_temperature(const model::Study& study, std::optional<std::size_t> door, const verdict::At& at,
                         base::Progress& progress, bool after_trip = false);

/// Cycles before the first missed throw over ambient from cold_C to hot_C + 20 K, one line a gap, at most
/// `most` cycles: the worse of all doors together and each door alone, thermistors tripped before, as the
/// check counts. Throws base::Cancelled.
Picture lockout_over_ambient(const model::Study& study, double voltage_V, double on_s,
                             const std::vector<double>& gaps_s, int most, unsigned workers,
                             base::Progress& progress);

/// Margins of the worst rows, one line a check, a logarithmic axis with 1 drawn; the shape of a mark says the
/// verdict.
Picture margins(const model::Study& study, const verdict::Rows& worst);

}  // namespace latchwright::report
