// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/stall.h"

#include <algorithm>
#include <numeric>

#include "base/failure.h"
#include "sim/peaks.h"
#include "sim/pulse.h"
#include "sim/pulse_segments.h"
#include "sim/solver_run.h"

namespace latchwright::sim {

using physics::heat_nodes;

namespace {

/// Permitted error of one step, K. Energy is looked after by itself (StandstillSystem::put_right), and the
/// errors of standing doors die away. Against CVODE most figures keep to a tenth or a fifth of docs/model.md
/// section 9; the worst of some 1500 random studies, a final current beside a trip, used 0.86 of its 0.2 %. A
/// third of this value would bring that to 0.2 and cost a sixth of the speed.
constexpr double stall_tolerance = 3e-3;

/// Standstill from the first to the last moment: nothing ends a run early.
class StallSystem final : public StandstillSystem {
 public:
  explicit StallSystem(const Circuit& circuit) : StandstillSystem(circuit, false) {}
  std::size_t event_count() const { return 0; }
  void events(const State&, double*, Place) {}
  bool settled(const State&) { return false; }
};

/// Finds when a door's current has halved, and when the thermistor has done it (docs/model.md section 5).
/// Neither changes what the doors do, so steps go on across them.
class TripWatch {
 public:
  /// x: the state at t = 0.
  TripWatch(StallSystem& system, const State& x) : system_(system), initial_(system.viewed_currents(x)) {
    for (std::size_t k = 0; k < initial_.size(); ++k) initial_ohms_.push_back(system.viewed_ohms(k));
    halved_.resize(initial_.size());
    tripped_.resize(initial_.size());
  }

  void take(const Step& step) {
    const StandstillCurrents& end = system_.at(Place::end);
    for (std::size_t k = 0; k < initial_.size(); ++k) {
      if (tripped_[k] || initial_[k] <= 0) continue;
      const double current = end.currents()[k];
      const DoorOhms& ohms = end.ohms(k);
      if (!halved_[k] && below_half(k, current) > 0) {
        halved_[k] = locate(step, [&] { return below_half(k, system_.viewed()[k]); });
      }
      const auto by_thermistor = [&](double i, const DoorOhms& at) {
        return std::min(below_half(k, i), thermistor_share(k, at));
      };
      if (by_thermistor(current, ohms) > 0) {
        tripped_[k] =
            locate(step, [&] { return by_thermistor(system_.viewed()[k], system_.viewed_ohms(k)); });
      }
    }
  }

  const PerDoor<double>& initial() const { return initial_; }
  const PerDoor<std::optional<double>>& halved() const { return halved_; }
  const PerDoor<std::optional<double>>& tripped() const { return tripped_; }

 private:
  double below_half(std::size_t k, double current) const { return 0.5 - current / initial_[k]; }
  /// How much more the thermistor has risen than the winding, of the winding's first resistance.
  double thermistor_share(std::size_t k, const DoorOhms& ohms) const {
    const DoorOhms& first = initial_ohms_[k];
    return (ohms.ptc - first.ptc - ohms.winding + first.winding) / first.winding;
  }
  /// When g, of what is viewed, rises through 0 in the step, s.
  template <class G>
  double locate(const Step& step, const G& g) {
    const auto at = [&](double t) {
      step.at(t, probe_);
      system_.viewed_currents(probe_);
      return g();
    };
    return rise_between(at, step.begin(), at(step.begin()), step.end(), at(step.end()));
  }

  StallSystem& system_;
  PerDoor<double> initial_;
  PerDoor<DoorOhms> initial_ohms_;
  PerDoor<std::optional<double>> halved_, tripped_;
  State probe_;
};

class StallSegment final : public Segment {
 public:
  StallSegment(const Step& step, StallSystem& system, State& scratch, const std::vector<DoorMode>& modes)
      : step_(step), system_(system), scratch_(scratch), modes_(modes) {}
  double begin() const override { return step_.begin(); }
  double end() const override { return step_.end(); }
  void at(double t, State& full) const override {
    // The currents at the step's end are at hand.
    const bool at_end = t >= end();
    if (!at_end) step_.at(t, scratch_);
    const State& T = at_end ? step_.last() : scratch_;
    const auto& current = at_end ? system_.at(Place::end).currents() : system_.viewed_currents(T);
    full.resize(current.size() * slots);
    for (std::size_t k = 0; k < current.size(); ++k) {
      full[k * slots + slot_current] = current[k];
      full[k * slots + slot_speed] = full[k * slots + slot_angle] = 0;
      std::copy_n(T.data() + k * heat_nodes, heat_nodes, full.data() + k * slots + slot_temperature);
    }
  }
  DoorEnds door_ends(std::size_t door) const override { return ends_of(step_, system_, door); }
  double largest_current(std::size_t, double) const override { return 0; }
  bool driven() const override { return true; }
  const std::vector<DoorMode>& modes() const override { return modes_; }
  bool unlocking() const override { return false; }

 private:
  const Step& step_;
  StallSystem& system_;
  State& scratch_;
  const std::vector<DoorMode>& modes_;
};

class StallSink final : public StepSink {
 public:
  StallSink(const Circuit& circuit, StallSystem& system, TripWatch& trips, const Observers& observers,
            double limit_s, base::Progress& progress)
      : circuit_(circuit),
        system_(system),
        trips_(trips),
        observers_(observers),
        peaks_(circuit.doors.size()),
        modes_(circuit.doors.size()),
        limit_s_(limit_s),
        progress_(progress) {}
  void take(const Step& step) override {
    if (progress_.cancelled()) throw base::Cancelled();
    progress_.report(step.end() / limit_s_, "standing");
    trips_.take(step);
    for (std::size_t k = 0; k < peaks_.size(); ++k) {
      peaks_[k].take(circuit_.doors[k].heat, step.end() - step.begin(), ends_of(step, system_, k));
    }
    if (observers_.empty()) return;
    const StallSegment segment(step, system_, scratch_, modes_);
    for (Observer* observer : observers_) observer->segment(segment);
  }
  const std::vector<DoorPeaks>& peaks() const { return peaks_; }

 private:
  const Circuit& circuit_;
  StallSystem& system_;
  TripWatch& trips_;
  const Observers& observers_;
  std::vector<DoorPeaks> peaks_;
  std::vector<DoorMode> modes_;
  double limit_s_;
  base::Progress& progress_;
  State scratch_;
};

}  // namespace

std::vector<DoorStall> simulate_stall(const Circuit& circuit, double limit_s, const Observers& observers,
                                      base::Progress& progress) {
  const std::size_t count = circuit.doors.size();
  StallSystem system(circuit);
  State x = ambient_temperatures(circuit);
  TripWatch trips(system, x);
  system.begin_energy(std::accumulate(trips.initial().begin(), trips.initial().end(), 0.0), limit_s);
  Solver<StallSystem> solver(stall_tolerance);
  StallSink sink(circuit, system, trips, observers, limit_s, progress);
  // At first no node shall move further than some kelvins.
  constexpr double first_K = 4;
  State rate(x.size());
  system.rates(x, rate, Place::begin);
  const double quickest = *std::max_element(rate.begin(), rate.end());
  double t = 0;
  solver.run(system, x, t, limit_s, first_K / std::max(quickest, 1e-3), sink);
  std::vector<DoorStall> doors(count);
  const auto& final_current = system.viewed_currents(x);
  for (std::size_t k = 0; k < count; ++k) {
    DoorStall& door = doors[k];
    door.initial_current_A = trips.initial()[k];
    door.trip_time_s = trips.tripped()[k];
    door.limited_by = door.trip_time_s    ? LimitedBy::thermistor
                      : trips.halved()[k] ? LimitedBy::winding
                                          : LimitedBy::nothing;
    door.final_current_A = final_current[k];
    door.hold_current_A = physics::hold_current(circuit.doors[k].ptc, circuit.doors[k].heat.ptc_to_ambient(),
                                                circuit.at.ambient_C);
    door.peak_winding_C = sink.peaks()[k].winding.value();
    door.beyond_table = sink.peaks()[k].ptc.value() > circuit.doors[k].ptc.curve->last_T_C();
    std::copy_n(x.data() + k * heat_nodes, heat_nodes, door.final_C.begin());
    door.final_winding_C = circuit.doors[k].heat.hottest_coil(door.final_C.data());
  }
  return doors;
}

}  // namespace latchwright::sim
