// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/look.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/failure.h"
#include "base/text.h"
#include "base/worker_pool.h"
#include "report/check_report.h"
#include "report/look_sentence.h"
#include "report/picture_tools.h"
#include "verdict/findings.h"

namespace latchwright::report {

namespace {

/// One look: its simulations, shared by its pictures.
class Looking {
 public:
  Looking(const model::Study& study, const Link& link, const LookAt& at, unsigned workers,
          base::Progress& progress)
      : study_(study),
        link_(link),
        at_(at),
        here_{at.voltage_V, at.ambient_C},
        workers_(workers),
        quiet_(progress),
        circuit_(sim::make_circuit(
            study, {.voltage_V = at.voltage_V, .ambient_C = at.ambient_C, .after_trip = at.after_trip})) {
    // What is drawn of this look has its pulse, not the job's.
    study_.job.pulse.on_s = at.on_s;
    study_.job.use.gap_s = at.gap_s;
  }

  void cycle() {
    cycling_.title = study_.job.title;
    cycling_.at = here_;
    cycling_.plan = {.cycles = at_.cycles, .on_s = at_.on_s, .gap_s = at_.gap_s};
    cycling_.after_trip = at_.after_trip;
    cycling_.other_load_A = study_.job.feed.other_load_A;
    cycling_.invented_parts = uses_invented_parts(study_);
    for (std::size_t k = 0; k < study_.doors.size(); ++k) {
      cycling_.doors.push_back(study_.job.doors[k].name);
      cycling_.two_forces.push_back(study_.job.doors[k].rod_force_unlock.has_value());
      cycling_.winding_class_C.push_back(study_.actuator(k).motor.winding_class_C);
    }
    // A long study keeps fewer samples a pulse.
    constexpr int most_samples = 20000, fewest_a_pulse = 8;
    const int a_pulse = std::clamp(most_samples / std::max(1, at_.cycles), fewest_a_pulse, samples_a_pulse);
    sim::TraceObserver trace(circuit_, at_.on_s / a_pulse);
    sim::Observers observers;
    if (link_.kind == LinkKind::relay || link_.kind == LinkKind::thermistor ||
        link_.kind == LinkKind::motor) {
      observers.push_back(&trace);
    }
    cycling_.result = sim::simulate_cycles(circuit_, cycling_.plan, observers, quiet_);
    samples_ = trace.samples();
  }

  bool holds() const { return !cycling_.result.lockout.has_value(); }
  std::string sentence() const { return look_sentence(circuit_, cycling_); }

  std::vector<Picture> pictures() {
    plan_pictures();
    std::vector<std::vector<Picture>> drawn(tasks_.size());
    // The rest after a lockout takes longest: it begins first, whatever its place.
    const std::size_t first = holds() ? 0 : 1;
    base::for_each_index(tasks_.size() + first, workers_, [&](std::size_t n) {
      if (quiet_.cancelled()) throw base::Cancelled();
      if (n < first) {
        rest();
      } else {
        drawn[n - first] = tasks_[n - first]();
      }
    });
    std::vector<Picture> all;
    const auto take = [&](std::vector<Picture> made) {
      for (Picture& picture : made) all.push_back(std::move(picture));
    };
    for (auto& made : drawn) take(std::move(made));
    if (link_.kind == LinkKind::thermistor) {
      if (auto after = recovery(study_, cycling_, samples_)) all.push_back(std::move(*after));
      all.push_back(lockouts());
    }
    return all;
  }

 private:
  using Drawn = std::vector<Picture>;

  void rest() {
    sim::Lockout& lockout = *cycling_.result.lockout;
    std::vector<double> temperatures;
    for (const auto& door : cycling_.result.doors) {
      temperatures.insert(temperatures.end(), door.final_C.begin(), door.final_C.end());
    }
    lockout.recovery = sim::solve_recovery(circuit_, temperatures, at_.on_s, lockout.throw_number % 2 == 0);
  }

  std::string when() const {
    return holds() ? fmt::format("after {} {}", at_.cycles, at_.cycles == 1 ? "cycle" : "cycles")
                   : std::string("at the missed throw");
  }

  Warmed warmed() const {
    Warmed all{when(), {}};
    for (const auto& door : cycling_.result.doors) all.doors.push_back(door.final_C);
    return all;
  }

  /// The feed lies at the controller, as in the checks.
  verdict::At at_feed() const {
    const bool hot = at_.ambient_C == study_.job.climate.hot_C;
    return {at_.voltage_V, hot ? study_.job.feed.hot_C : at_.ambient_C};
  }

  void hold_still() {
    held_.title = study_.job.title;
    held_.at = here_;
    held_.limit_s = verdict::fault_stall_s;
    held_.after_trip = at_.after_trip;
    held_.doors = cycling_.doors;
    held_.other_load_A = cycling_.other_load_A;
    held_.invented_parts = cycling_.invented_parts;
    for (std::size_t k = 0; k < study_.doors.size(); ++k) {
      held_.winding_fault_C.push_back(physics::winding_fault_limit_C(study_.actuator(k).motor));
    }
    sim::TraceObserver trace(circuit_, stall_spacing_s, stall_growth);
    held_.stalls = sim::simulate_stall(circuit_, held_.limit_s, {&trace}, quiet_);
    held_samples_ = trace.samples();
  }

  Picture through_fuse(std::optional<std::size_t> door) {
    const auto curves = verdict::trace_time_current(study_, here_, workers_, quiet_);
    return time_current(curves, fuse_index(curves, door), cycling_.invented_parts);
  }

  Picture voltage(std::size_t door) { return voltage_along_the_run(study_, door, here_, at_.after_trip); }

  Picture stalled_current() {
    hold_still();
    Picture picture = stall_current(held_, held_samples_);
    PictureLimit limit;
    limit.value = study_.relay().rated_A;
    limit.name = "the relay may switch";
    limit.hue = study_.doors.size();
    picture.limits.push_back(std::move(limit));
    return picture;
  }

  Picture working_curve() {
    hold_still();
    const std::size_t k = link_.door;
    const sim::DoorStall& stall = held_.stalls[k];
    std::vector<WorkingPoint> points{{"ambient", at_.ambient_C}};
    points.push_back({holds()
                          ? fmt::format("hottest in {} {}", at_.cycles, at_.cycles == 1 ? "cycle" : "cycles")
                          : std::string("hottest up to the missed throw"),
                      cycling_.result.doors[k].peak_ptc_C});
    if (stall.trip_time_s) {
      const auto own = samples_of(held_samples_, k);
      points.push_back({"rod held: when it trips",
                        figure_at(own, *stall.trip_time_s,
                                  [](const sim::TraceSample& s) { return s.temperature_C[physics::ptc]; })});
    }
    points.push_back({"rod held for " + base::wait_text(held_.limit_s), stall.final_C[physics::ptc]});
    Picture picture = thermistor_curve(study_, k, points, at_.after_trip);
    picture.condition = fmt::format("{}, pulse {} s, rest {} s", picture_condition(here_, at_.after_trip),
                                    base::exact_text(at_.on_s), base::exact_text(at_.gap_s));
    return picture;
  }

  Picture lockouts() {
    constexpr double longest_s = 3600;  // of a rest in a job
    std::vector<double> gaps = at_.gap_s > 0 ? std::vector<double>{at_.gap_s, 3 * at_.gap_s, 10 * at_.gap_s}
                                             : std::vector<double>{0, 1, 5};
    for (double& gap : gaps) gap = std::min(gap, std::max(longest_s, at_.gap_s));
    gaps.erase(std::unique(gaps.begin(), gaps.end()), gaps.end());
    constexpr int fewest = 10, most = 40;
    return lockout_over_ambient(study_, at_.voltage_V, at_.on_s, gaps,
                                std::clamp(2 * at_.cycles, fewest, most), workers_, quiet_);
  }

  /// One picture that nothing else waits for.
  template <class Make>
  void add(const Make& make) {
    tasks_.emplace_back([make] {
      Drawn drawn;
      drawn.push_back(make());
      return drawn;
    });
  }

  void plan_pictures() {
    const std::size_t k = link_.door;
    const bool tripped = at_.after_trip;
    switch (link_.kind) {
      case LinkKind::battery:
        add([this, tripped] { return voltage(worst_drop_door(study_, here_, tripped)); });
        break;
      case LinkKind::main_fuse:
        add([this] { return through_fuse(std::nullopt); });
        break;
      case LinkKind::feed:
        add([this, tripped] { return voltage(worst_drop_door(study_, here_, tripped)); });
        add([this, tripped] { return wire_temperature(study_, std::nullopt, at_feed(), quiet_, tripped); });
        break;
      case LinkKind::relay:
        add([this] { return stalled_current(); });
        add([this] { return cycling_current(cycling_, samples_); });
        break;
      case LinkKind::door_run:
        add([this, k] { return through_fuse(k); });
        add([this, k, tripped] { return wire_temperature(study_, k, here_, quiet_, tripped); });
        add([this, k] { return voltage(k); });
        break;
      case LinkKind::thermistor:
        add([this] { return working_curve(); });
        add([this, k] { return cycling_temperatures(cycling_, samples_, k); });
        break;
      case LinkKind::motor:
        add([this, k, tripped] { return motor_curves(study_, k, here_, warmed(), tripped); });
        add([this, k] { return cycling_temperatures(cycling_, samples_, k); });
        add([this, k] {
          hold_still();
          return stall_temperatures(held_, held_samples_, k);
        });
        break;
      case LinkKind::rod:
        add([this, k, tripped] { return rod_force(study_, k, here_, warmed(), tripped); });
        add([this, k, tripped] { return throw_in_time(study_, k, here_, at_.on_s, tripped); });
        break;
    }
  }

  model::Study study_;
  Link link_;
  LookAt at_;
  verdict::At here_;
  unsigned workers_;
  base::OnlyCancels quiet_;
  sim::Circuit circuit_;
  CycleReport cycling_;
  std::vector<sim::TraceSample> samples_;
  StallReport held_;  // of the one task that wants it
  std::vector<sim::TraceSample> held_samples_;
  std::vector<std::function<Drawn()>> tasks_;
};

}  // namespace

LookAt usual_look(const model::Study& study) {
  return {.voltage_V = study.job.supply.usual_V,
          .ambient_C = study.job.climate.usual_C,
          .on_s = study.job.pulse.on_s,
          .gap_s = study.job.use.gap_s,
          .cycles = study.job.use.cycles};
}

Look take_look(const model::Study& study, const Link& link, const LookAt& at, unsigned workers,
               base::Progress& progress, const std::function<void(const Look&)>& told) {
  base::require(study.complete(), "an unfinished job cannot be looked at");
  Looking looking(study, link, at, workers, progress);
  progress.report(0, "cycling");
  looking.cycle();
  Look look{at, looking.holds(), looking.sentence(), {}};
  if (told) told(look);
  progress.report(0.3, "drawing");
  look.pictures = looking.pictures();
  look.sentence = looking.sentence();
  progress.report(1, "drawing");
  return look;
}

}  // namespace latchwright::report
