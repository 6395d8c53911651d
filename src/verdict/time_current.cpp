// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/time_current.h"

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <cmath>

#include "base/failure.h"
#include "base/text.h"
#include "base/worker_pool.h"
#include "verdict/fuse_subjects.h"
#include "verdict/trip_curve.h"

namespace latchwright::verdict {

namespace {

/// No fuse and no wire of a car acts outside these within the window, A.
constexpr double least_A = 1e-3;
constexpr double most_A = 1e6;

using Group = std::vector<std::size_t>;  // indices of doors, or of wires, that are alike

/// Indices 0 … count - 1 that are alike, put together in the order in which each kind appears.
template <class Alike>
std::vector<Group> groups_of(std::size_t count, const Alike& alike) {
  std::vector<Group> groups;
  for (std::size_t k = 0; k < count; ++k) {
    const auto same = std::find_if(groups.begin(), groups.end(),
                                   [&](const Group& group) { return alike(group.front(), k); });
    if (same == groups.end()) {
      groups.push_back({k});
    } else {
      same->push_back(k);
    }
  }
  return groups;
}

class Picture {
 public:
  /// The study has the usual values that the picture is for.
  Picture(const model::Study& study, base::Progress& progress)
      : study_(study),
        progress_(progress),
        findings_(study, progress),
        fuses_(fuses_of(study)),
        wires_(wires_of(findings_, fuses_)) {
    made_.usual = {findings_.voltage(usual_level), findings_.ambient(usual_level)};
    for (std::size_t k = 0; k < study.doors.size(); ++k) {
      const sim::Circuit alone =
          sim::make_circuit(study, {made_.usual.voltage_V, made_.usual.ambient_C}, {k});
      alone_A_.push_back(sim::ambient_stall_currents(alone)[0]);
    }
  }

  TimeCurrent make(unsigned workers) {
    band_fuses();
    limit_wires();
    mark_currents();
    find_unguarded();
    pair_protections();
    trace_trips(workers);
    return std::move(made_);
  }

 private:
  std::string doors_text(const Group& doors) const {
    if (doors.size() > 1 && doors.size() == study_.doors.size()) return "all doors";
    std::vector<std::string> names;
    for (const std::size_t k : doors) names.push_back(study_.job.doors[k].name);
    return fmt::format("{}", fmt::join(names, ", "));
  }

  static std::string degrees(double T_C) { return base::exact_text(T_C) + " °C"; }

  /// Usual and hot, once where they are the same.
  static std::vector<double> temperatures(double usual_C, double hot_C) {
    return usual_C == hot_C ? std::vector<double>{usual_C} : std::vector<double>{usual_C, hot_C};
  }

  void band_fuses() {
    const double ambient_C = findings_.controller_ambient(usual_level);
    const auto id_of = [&](std::size_t n) {
      return fuses_[n].door ? study_.doors[*fuses_[n].door].fuse->id : std::string();
    };
    band_of_.resize(fuses_.size());
    // The main fuse is one by itself, even if a branch has the same.
    for (const Group& group : groups_of(fuses_.size(), [&](std::size_t a, std::size_t b) {
           return fuses_[a].door.has_value() == fuses_[b].door.has_value() && id_of(a) == id_of(b);
         })) {
      const physics::FuseBounds& bounds = fuses_[group.front()].bounds;
      const std::string rating = base::exact_text(bounds.rating_A()) + " A";
      Group doors;
      for (const std::size_t n : group) {
        band_of_[n] = made_.fuses.size();
        if (fuses_[n].door) doors.push_back(*fuses_[n].door);
      }
      FuseBand band;
      band.name = doors.empty() ? "main fuse " + rating : "fuse " + rating + " of " + doors_text(doors);
      band.main = doors.empty();
      band.doors = doors;
      band.rating_A = bounds.rating_A();
      band.ambient_C = ambient_C;
      band.quickest = draw_law(
          band.name + ", quickest the standard allows at " + degrees(ambient_C),
          [&](double amps) { return bounds.quickest_time(amps, ambient_C); }, least_A, most_A);
      std::vector<CurvePoint> corners;
      for (const auto& gate : bounds.slowest_gates()) corners.push_back({gate.current_A, gate.time_s});
      // Beyond the last gate I²t stays the same: one corner below the window draws it.
      if (!corners.empty()) {
        const double far_A = 1e6 * corners.back().current_A;
        corners.push_back({far_A, bounds.slowest_time(far_A)});
      }
      band.slowest = draw_corners(band.name + ", slowest the standard allows", corners);
      made_.fuses.push_back(std::move(band));
    }
  }

  void limit_wires() {
    limit_of_.resize(wires_.size());
    for (const Group& group : groups_of(wires_.size(), [&](std::size_t a, std::size_t b) {
           return wires_[a].door.has_value() == wires_[b].door.has_value() &&
                  wires_[a].wire == wires_[b].wire && wires_[a].bundle_factor == wires_[b].bundle_factor;
         })) {
      const GuardedWire& wire = wires_[group.front()];
      Group doors;
      for (const std::size_t n : group) {
        limit_of_[n] = made_.wires.size();
        if (wires_[n].door) doors.push_back(*wires_[n].door);
      }
      const std::string size = fmt::format("{:g} mm²", wire.wire->area * 1e6);
      WireLimit limit;
      limit.name = doors.empty() ? "feed " + size : "door run " + size + " of " + doors_text(doors);
      limit.doors = doors;
      limit.area = wire.wire->area;
      limit.limit_C = wire.wire->short_time_C;
      const physics::WireHeating heating(*wire.wire, wire.bundle_factor);
      // Usual: feed and controller have the ambient of the doors; hot: each its own, as the guard check has
      // it.
      for (const double start_C : temperatures(made_.usual.ambient_C, wire.hot_C)) {
        const physics::FaultCurve curve = heating.fault_curve(start_C, limit.limit_C);
        limit.lines.push_back({start_C, draw_law(fmt::format("{}, from {} to its limit of {}", limit.name,
                                                             degrees(start_C), degrees(limit.limit_C)),
                                                 curve, least_A, most_A)});
      }
      made_.wires.push_back(std::move(limit));
    }
  }

  /// One mark for each different current, named by all doors that have it.
  template <class CurrentOf>
  void mark_doors(const char* before, const char* after, const CurrentOf& current_of) {
    for (const Group& group : groups_of(study_.doors.size(), [&](std::size_t a, std::size_t b) {
           return current_of(a) == current_of(b);
         })) {
      // "All doors" would read as all of them together.
      std::vector<std::string> names;
      for (const std::size_t k : group) names.push_back(study_.job.doors[k].name);
      made_.marks.push_back(
          {fmt::format("{}{}{}{}", before, fmt::join(names, ", "), group.size() > 1 ? ", each" : "", after),
           current_of(group.front())});
    }
  }

  void mark_currents() {
    for (const double amps : findings_.stall_currents(usual_level, usual_level)) all_doors_A_ += amps;
    const double other_A = study_.job.feed.other_load_A;
    if (study_.doors.size() > 1) made_.marks.push_back({"stall current, all doors", all_doors_A_});
    if (other_A > 0) {
      made_.marks.push_back({"stall current, all doors, and the other load", all_doors_A_ + other_A});
    }
    mark_doors("stall current, ", " alone", [&](std::size_t k) { return alone_A_[k]; });
    made_.marks.push_back({"bolted short at the end of the feed", findings_.bolted_short_A(std::nullopt)});
    mark_doors("bolted short at the end of the door run, ", "",
               [&](std::size_t k) { return findings_.bolted_short_A(k); });
    for (const FuseBand& band : made_.fuses)
      made_.marks.push_back(
          {band.main ? "rating of the main fuse" : "rating of the " + band.name, band.rating_A});
  }

  void find_unguarded() {
    gap_of_.resize(wires_.size());
    for (std::size_t n = 0; n < wires_.size(); ++n) {
      const GuardedWire& wire = wires_[n];
      const physics::WireHeating heating(*wire.wire, wire.bundle_factor);
      const FuseSubject& fuse = fuses_[wire.fuse];
      const physics::Guard found = physics::guard(fuse.bounds, heating, wire.hot_C, wire.wire->short_time_C,
                                                  findings_.bolted_short_A(wire.door));
      if (found.unguarded_to_A <= 0) continue;
      const std::string name =
          wire.door ? "door run, " + study_.job.doors[*wire.door].name : std::string(feed_name);
      const std::string whose =
          fuse.door ? "fuse of " + study_.job.doors[*fuse.door].name : std::string(main_fuse_name);
      gap_of_[n] = made_.unguarded.size();
      made_.unguarded.push_back({wire.door, name, whose, found.unguarded_from_A, found.unguarded_to_A});
    }
  }

  void pair_protections() {
    for (const Group& group : groups_of(wires_.size(), [&](std::size_t a, std::size_t b) {
           return limit_of_[a] == limit_of_[b] && band_of_[wires_[a].fuse] == band_of_[wires_[b].fuse];
         })) {
      Protection pair;
      pair.fuse = band_of_[wires_[group.front()].fuse];
      pair.wire = limit_of_[group.front()];
      Group doors;
      for (const std::size_t n : group) {
        if (wires_[n].door) doors.push_back(*wires_[n].door);
      }
      pair.place = doors.empty() ? std::string(feed_name) : "door run of " + doors_text(doors);
      pair.doors = doors;
      if (doors.empty()) {
        const double other_A = study_.job.feed.other_load_A;
        const std::string who = study_.doors.size() > 1 ? "all doors stalled" : "stalled";
        pair.marks.push_back({who + (other_A > 0 ? ", and the other load" : ""), all_doors_A_ + other_A});
        pair.marks.push_back({"bolted short at its end", findings_.bolted_short_A(std::nullopt)});
      } else {
        add_range(pair, "stalled", doors, [&](std::size_t k) { return alone_A_[k]; });
        add_range(pair, "bolted short at its end", doors,
                  [&](std::size_t k) { return findings_.bolted_short_A(k); });
      }
      const double rating = made_.fuses[pair.fuse].rating_A;
      add_reachable(pair, "the fuse's rating", rating);
      add_reachable(pair, "twice the fuse's rating", 2 * rating);
      for (const std::size_t n : group) {
        if (!gap_of_[n]) continue;
        add_reachable(pair, "not protected from here", made_.unguarded[*gap_of_[n]].from_A);
        add_reachable(pair, "not protected up to here", made_.unguarded[*gap_of_[n]].to_A);
      }
      std::stable_sort(pair.marks.begin(), pair.marks.end(),
                       [](const Mark& a, const Mark& b) { return a.current_A < b.current_A; });
      made_.protections.push_back(std::move(pair));
    }
  }

  /// A current that can flow there, unless it is marked already.
  static void add_reachable(Protection& pair, const char* what, double current_A) {
    constexpr double same = 1e-3;
    double most = 0;
    for (const Mark& mark : pair.marks) {
      if (std::abs(mark.current_A - current_A) < same * current_A) return;
      most = std::max(most, mark.current_A);
    }
    if (current_A < most) pair.marks.push_back({what, current_A});
  }

  /// The smallest and the largest of the doors' currents.
  template <class CurrentOf>
  void add_range(Protection& pair, const std::string& what, const Group& doors,
                 const CurrentOf& current_of) const {
    const auto less = [&](std::size_t a, std::size_t b) { return current_of(a) < current_of(b); };
    const auto [low, high] = std::minmax_element(doors.begin(), doors.end(), less);
    const auto add = [&](std::size_t k) {
      const std::string whose = doors.size() > 1 ? " (" + study_.job.doors[k].name + ")" : "";
      pair.marks.push_back({what + whose, current_of(k)});
    };
    add(*low);
    if (current_of(*high) > current_of(*low)) add(*high);
  }

  void trace_trips(unsigned workers) {
    struct Task {
      std::size_t door, limit, line;
      double ambient_C;
    };
    std::vector<Task> tasks;
    for (const Group& doors : groups_of(study_.doors.size(), [&](std::size_t a, std::size_t b) {
           return study_.doors[a].actuator->id == study_.doors[b].actuator->id;
         })) {
      TripLimit limit;
      limit.name = "thermistor of " + doors_text(doors);
      limit.doors = doors;
      limit.actuator = study_.doors[doors.front()].actuator->title;
      limit.shared = doors.size() > 1;
      limit.first_door = study_.job.doors[doors.front()].name;
      limit.stall_A = alone_A_[doors.front()];
      for (const double T : temperatures(made_.usual.ambient_C, findings_.ambient(hot_level))) {
        tasks.push_back({doors.front(), made_.trips.size(), limit.lines.size(), T});
        limit.lines.push_back({T, {}});
      }
      made_.trips.push_back(std::move(limit));
    }
    const double most_V = std::max(study_.job.supply.jump_voltage(), study_.job.supply.high_V);
    std::atomic<std::size_t> done{0};
    base::for_each_index(tasks.size(), workers, [&](std::size_t n) {
      const Task& task = tasks[n];
      const auto at = [&](double volts) {
        return sim::make_circuit(study_, {volts, task.ambient_C}, {task.door});
      };
      const double strongest_A = sim::ambient_stall_currents(at(most_V))[0];
      const sim::Circuit usual = at(made_.usual.voltage_V);
      TripLimit& limit = made_.trips[task.limit];
      limit.lines[task.line].series =
          trace_trip_curve(fmt::format("{}, trips at {}", limit.name, degrees(task.ambient_C)), usual,
                           strongest_A, sim::ambient_stall_currents(usual)[0], progress_);
      progress_.report(static_cast<double>(++done) / static_cast<double>(tasks.size()),
                       "tracing the thermistors");
    });
  }

  const model::Study& study_;
  base::Progress& progress_;
  Findings findings_;
  std::vector<FuseSubject> fuses_;
  std::vector<GuardedWire> wires_;
  std::vector<double> alone_A_;                     // by door: stalled alone, usual
  double all_doors_A_ = 0;                          // all of them stalled, usual
  std::vector<std::size_t> band_of_;                // by fuse: index into made_.fuses
  std::vector<std::size_t> limit_of_;               // by wire: index into made_.wires
  std::vector<std::optional<std::size_t>> gap_of_;  // by wire: index into made_.unguarded
  TimeCurrent made_;
};

}  // namespace

std::vector<const Series*> TimeCurrent::all_series() const {
  std::vector<const Series*> all;
  for (const auto& band : fuses) {
    all.push_back(&band.quickest);
    all.push_back(&band.slowest);
  }
  for (const auto& wire : wires) {
    for (const auto& line : wire.lines) all.push_back(&line.series);
  }
  for (const auto& trip : trips) {
    for (const auto& line : trip.lines) all.push_back(&line.series);
  }
  return all;
}

TimeCurrent trace_time_current(const model::Study& study, const At& usual, unsigned workers,
                               base::Progress& progress) {
  base::require(study.complete(), "an unfinished job has no time-current picture");
  // Nothing here depends on how the usual values stand to the job's others, so they may be put in their
  // place.
  model::Study at_usual = study;
  at_usual.job.supply.usual_V = usual.voltage_V;
  at_usual.job.climate.usual_C = usual.ambient_C;
  return Picture(at_usual, progress).make(workers);
}

}  // namespace latchwright::verdict
