// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/progress.h"
#include "model/study.h"
#include "verdict/check_row.h"
#include "verdict/log_curve.h"

// The time-current picture of an installation: what opens or trips after how long, and what the wires bear
// (docs/model.md section 7).
namespace latchwright::verdict {

/// The band of every fuse that meets the standard's gates: the main fuse, or a branch fuse that one door or
/// several have.
struct FuseBand {
  std::string name;  ///< "main fuse 30 A", "fuse 7.5 A of front left, front right"
  bool main = false;
  std::vector<std::size_t> doors;  ///< whose runs it is in; empty: the main fuse
  double rating_A = 0;
  double ambient_C = 0;  ///< of the quickest one, at the controller
  Series quickest;
  Series slowest;
};

/// A line that depends on the temperature at the start.
struct LineAt {
  double start_C = 0;
  Series series;
};

/// What the copper of a wire bears until it reaches its short-time limit. Doors with the same wire and bundle
/// are one.
struct WireLimit {
  std::string name;  ///< "feed 4 mm²", "door run 1 mm² of front left, front right"
  std::vector<std::size_t> doors;  ///< whose runs; empty: the feed
  double area = 0;   ///< m²
  double limit_C = 0;
  std::vector<LineAt> lines;  ///< usual, then hot; one where both are the same
};

/// Trip time of a thermistor over the stall current at once, of the first door that has this actuator.
struct TripLimit {
  std::string name;      ///< "thermistor of front left"
  std::vector<std::size_t> doors;
  std::string actuator;  ///< title of the part
  std::string first_door;
  bool shared = false;  ///< by several doors
  double stall_A = 0;   ///< of that door alone, usual
  std::vector<LineAt> lines;
};

struct Mark {
  std::string name;
  double current_A = 0;
};

/// A wire, or several alike, with the fuse that stands next upstream, and the currents that matter there.
struct Protection {
  std::size_t fuse = 0;     ///< index into TimeCurrent::fuses
  std::size_t wire = 0;     ///< index into TimeCurrent::wires
  std::string place;        ///< "feed", "door run of front left, front right"
  std::vector<std::size_t> doors;  ///< empty: the feed
  std::vector<Mark> marks;  ///< by rising current
};

/// Currents at which the fuse next upstream may let a hot wire come to harm.
struct Unguarded {
  std::optional<std::size_t> door;  ///< whose run; none: the feed
  std::string wire;  ///< "feed", "door run, tailgate"
  std::string fuse;  ///< "main fuse", "fuse of front left"
  double from_A = 0;
  double to_A = 0;
};

/// The whole picture. Immutable once made.
struct TimeCurrent {
  At usual;
  std::vector<FuseBand> fuses;
  std::vector<WireLimit> wires;
  std::vector<TripLimit> trips;
  std::vector<Mark> marks;
  std::vector<Protection> protections;  ///< the feed first
  std::vector<Unguarded> unguarded;

  /// Every line: fuses, wires, thermistors.
  std::vector<const Series*> all_series() const;
};

/// The picture of a complete study, with `usual` in place of the job's usual voltage and ambient. The result
/// does not depend on the number of workers. Throws base::Cancelled.
TimeCurrent trace_time_current(const model::Study& study, const At& usual, unsigned workers,
                               base::Progress& progress);

}  // namespace latchwright::verdict
