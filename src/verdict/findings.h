// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <memory>
#include <mutex>

#include "base/progress.h"
#include "model/study.h"
#include "physics/fuse_bounds.h"
#include "sim/cycle.h"
#include "sim/lockout.h"
#include "sim/stall.h"

namespace latchwright::verdict {

inline constexpr std::size_t levels = 3;  ///< low, usual, high voltage; cold, usual, hot ambient
inline constexpr std::size_t corners = levels * levels;
inline constexpr std::size_t usual_level = 1;
inline constexpr std::size_t hot_level = 2;
inline constexpr double fault_stall_s = 600;  ///< how long a stuck relay holds a seized lock

/// Load of one fuse over the wanted cycles.
struct FuseUse {
  double rms_A = 0;        ///< gaps included, without the other load
  double quickest_y = 0;   ///< largest state of the quickest fuse, the other load included for the main fuse
};

/// What the wanted cycles at one corner give, going on through missed throws.
struct CycleFindings {
  sim::CycleResult cycles;
  FuseUse main_fuse;
  std::vector<FuseUse> door_fuses;  ///< by door; zeros where none is fitted
};

/// First throws from everything at ambient, all doors driven.
struct ThrowFindings {
  std::vector<std::optional<double>> arrival_s;  ///< the worse direction; none: does not arrive in the pulse
  std::vector<std::optional<double>> longer_s;   ///< for those, the arrival in a pulse ten times as long
  std::vector<double> running_A;                 ///< mean current until arrival (or over the pulse)
  double running_sum_A = 0;                      ///< sum of those means: what the feed carries while all rods run
};

/// What a study of findings may leave out.
enum class Detail {
  full,
  /// Without what no margin and no verdict needs: throws that miss are not followed into a longer pulse, cycles are
  /// not counted for thermistors at the ends of their tolerance, nothing is simulated for a sentence alone.
  brief
};

/// First throws of all doors of a circuit in one pulse, the worse direction of each.
ThrowFindings find_throws(const model::Study& study, const sim::Circuit& circuit, double pulse_s, Detail detail);

/// What a wire is held to carry while every rod is held and the power stays on.
struct HeldCurrent {
  double current_A = 0;  ///< as at once, the other load included for the feed
  double seconds = 0;    ///< until the (last) thermistor behind it trips, else fault_stall_s
  bool trips = false;    ///< every thermistor behind it does
};
/// stall: of all doors, for fault_stall_s; door: whose run, none: the feed.
HeldCurrent held_current(const model::Study& study, const std::vector<sim::DoorStall>& stall,
                         std::optional<std::size_t> door);

/// Simulations behind the checks of one study, each run when first asked for and then kept. Safe to ask from
/// several threads.
class Findings {
 public:
  Findings(const model::Study& study, base::Progress& progress, Detail detail = Detail::full);

  const model::Study& study() const { return study_; }
  base::Progress& progress() const { return progress_; }
  Detail detail() const { return detail_; }
  double voltage(std::size_t level) const;
  double ambient(std::size_t level) const;
  /// Where fuses and feed stand: feed.hot_C at the hot level.
  double controller_ambient(std::size_t level) const;
  int wanted_cycles(std::size_t ambient_level) const;

  /// Stall currents of all doors driven, everything at ambient.
  const std::vector<double>& stall_currents(std::size_t voltage_level, std::size_t ambient_level) const;
  const sim::Circuit& circuit(std::size_t voltage_level, std::size_t ambient_level) const;
  const CycleFindings& cycling(std::size_t voltage_level, std::size_t ambient_level) const;
  const ThrowFindings& throws(std::size_t voltage_level, std::size_t ambient_level) const;
  const std::vector<sim::DoorStall>& fault_stall(std::size_t voltage_level, std::size_t ambient_level) const;
  /// All doors stalled at high_V and feed.hot_C: how long the feed carries it.
  const std::vector<sim::DoorStall>& feed_stall() const;
  /// ambient x {usual_V, charge_V}; most: simulated at the most, in times of the wanted cycles; ptc_scale of the
  /// thermistors (not kept unless 1).
  const sim::WorstCount& lockout(std::size_t ambient_level, bool charging) const;
  sim::WorstCount solve_lockout(std::size_t ambient_level, bool charging, int most_times, double ptc_scale) const;

  /// Current of a bolted short at the wire's far end, usual_V and hot: of the feed (no door), of a door's branch.
  double bolted_short_A(std::optional<std::size_t> door) const;

  /// Runs all of it on `workers` threads, with progress; what is asked for later may use as many.
  void prepare(unsigned workers);
  unsigned workers() const { return workers_; }

 private:
  template <class T>
  struct Slot {
    std::once_flag once;
    std::unique_ptr<T> value;
  };
  template <class T, class Make>
  const T& keep(Slot<T>& slot, Make make) const;

  CycleFindings run_cycles(std::size_t v, std::size_t a) const;

  const model::Study& study_;
  base::Progress& progress_;
  Detail detail_;
  unsigned workers_ = 1;
  struct Corner {
    Slot<sim::Circuit> circuit;
    Slot<std::vector<double>> stall_currents;
    Slot<CycleFindings> cycling;
    Slot<ThrowFindings> throws;
    Slot<std::vector<sim::DoorStall>> fault_stall;
  };
  mutable std::array<Corner, corners> corners_;
  mutable std::array<Slot<sim::WorstCount>, 2 * levels> lockouts_;
  mutable Slot<std::vector<sim::DoorStall>> feed_stall_;
};

}  // namespace latchwright::verdict
