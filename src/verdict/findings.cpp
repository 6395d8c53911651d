// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/findings.h"

#include <algorithm>
#include <atomic>
#include <functional>

#include "base/failure.h"
#include "base/worker_pool.h"
#include "verdict/fuse_stress.h"

namespace latchwright::verdict {

namespace {

/// Integrals of the currents of one throw.
class ChargeObserver final : public sim::Observer {
 public:
  explicit ChargeObserver(std::size_t doors) : charge_(doors) {}
  void segment(const sim::Segment& segment) override {
    if (!segment.driven()) return;
    segment.at(segment.begin(), first_);
    segment.at(0.5 * (segment.begin() + segment.end()), middle_);
    segment.at(segment.end(), last_);
    const double length = segment.end() - segment.begin();
    for (std::size_t k = 0; k < charge_.size(); ++k) {
      const std::size_t slot = k * sim::slots + sim::slot_current;
      // Until its arrival only: what follows is stall, not running.
      if (!segment.modes()[k].arrived) {
        charge_[k].ampere_seconds += length / 6 * (first_[slot] + 4 * middle_[slot] + last_[slot]);
        charge_[k].seconds += length;
      }
    }
  }
  double mean(std::size_t k) const {
    return charge_[k].seconds > 0 ? charge_[k].ampere_seconds / charge_[k].seconds : 0;
  }

 private:
  struct Charge {
    double ampere_seconds = 0;
    double seconds = 0;
  };
  std::vector<Charge> charge_;
  sim::State first_, middle_, last_;
};

std::size_t corner_of(std::size_t v, std::size_t a) { return v * levels + a; }

}  // namespace

template <class T, class Make>
const T& Findings::keep(Slot<T>& slot, Make make) const {
  std::call_once(slot.once, [&] { slot.value = std::make_unique<T>(make()); });
  return *slot.value;
}

Findings::Findings(const model::Study& study, base::Progress& progress, Detail detail)
    : study_(study), progress_(progress), detail_(detail) {}

double Findings::voltage(std::size_t level) const {
  const auto& supply = study_.job.supply;
  return level == 0 ? supply.low_V : level == usual_level ? supply.usual_V : supply.high_V;
}

double Findings::ambient(std::size_t level) const {
  const auto& climate = study_.job.climate;
  return level == 0 ? climate.cold_C : level == usual_level ? climate.usual_C : climate.hot_C;
}

double Findings::controller_ambient(std::size_t level) const {
  return level == hot_level ? study_.job.feed.hot_C : ambient(level);
}

int Findings::wanted_cycles(std::size_t ambient_level) const {
  return ambient_level == hot_level ? study_.job.use.hot_cycles : study_.job.use.cycles;
}

const sim::Circuit& Findings::circuit(std::size_t v, std::size_t a) const {
  return keep(corners_[corner_of(v, a)].circuit,
              [&] { return sim::make_circuit(study_, {.voltage_V = voltage(v), .ambient_C = ambient(a)}); });
}

const std::vector<double>& Findings::stall_currents(std::size_t v, std::size_t a) const {
  return keep(corners_[corner_of(v, a)].stall_currents, [&] { return sim::ambient_stall_currents(circuit(v, a)); });
}

const CycleFindings& Findings::cycling(std::size_t v, std::size_t a) const {
  return keep(corners_[corner_of(v, a)].cycling, [&] { return run_cycles(v, a); });
}

const ThrowFindings& Findings::throws(std::size_t v, std::size_t a) const {
  return keep(corners_[corner_of(v, a)].throws,
              [&] { return find_throws(study_, circuit(v, a), study_.job.pulse.on_s, detail_); });
}

const std::vector<sim::DoorStall>& Findings::fault_stall(std::size_t v, std::size_t a) const {
  return keep(corners_[corner_of(v, a)].fault_stall, [&] {
    base::NoProgress quiet;
    return sim::simulate_stall(circuit(v, a), fault_stall_s, {}, quiet);
  });
}

const std::vector<sim::DoorStall>& Findings::feed_stall() const {
  return keep(feed_stall_, [&] {
    base::NoProgress quiet;
    const sim::Condition at{.voltage_V = voltage(levels - 1), .ambient_C = study_.job.feed.hot_C};
    return sim::simulate_stall(sim::make_circuit(study_, at), fault_stall_s, {}, quiet);
  });
}

CycleFindings Findings::run_cycles(std::size_t v, std::size_t a) const {
  const double at_controller = controller_ambient(a);
  FuseStress stress;
  const auto follow = [&](const model::PartPtr& fuse, const model::PartPtr& family, std::optional<std::size_t> door,
                          double other_A) {
    const physics::FuseBounds bounds(std::get<model::Fuse>(fuse->body), std::get<model::FuseFamily>(family->body));
    stress.add(bounds, at_controller, door, other_A);
  };
  follow(study_.feed.fuse, study_.feed.fuse_family, std::nullopt, study_.job.feed.other_load_A);
  for (std::size_t k = 0; k < study_.doors.size(); ++k) {
    if (study_.doors[k].fuse) follow(study_.doors[k].fuse, study_.doors[k].fuse_family, k, 0);
  }
  const sim::CyclePlan plan{.cycles = wanted_cycles(a),
                            .on_s = study_.job.pulse.on_s,
                            .gap_s = study_.job.use.gap_s,
                            .on_through = true};
  base::NoProgress quiet;
  CycleFindings found{sim::simulate_cycles(circuit(v, a), plan, {&stress}, quiet), {}, {}};
  found.main_fuse = {stress.rms_A(0), stress.largest_y(0)};
  found.door_fuses.resize(study_.doors.size());
  std::size_t next = 1;
  for (std::size_t k = 0; k < study_.doors.size(); ++k) {
    if (!study_.doors[k].fuse) continue;
    found.door_fuses[k] = {stress.rms_A(next), stress.largest_y(next)};
    ++next;
  }
  return found;
}

ThrowFindings find_throws(const model::Study& study, const sim::Circuit& at, double pulse, Detail detail) {
  const std::size_t count = at.doors.size();
  const bool two_ways = std::any_of(study.job.doors.begin(), study.job.doors.end(),
                                    [](const model::Door& d) { return d.rod_force_unlock.has_value(); });
  ThrowFindings found;
  ChargeObserver charge(count);
  found.arrival_s = sim::single_throw(at, pulse, false, {&charge});
  found.longer_s.resize(count);
  const auto worse_of = [count](std::vector<std::optional<double>>& into,
                                const std::vector<std::optional<double>>& other) {
    for (std::size_t k = 0; k < count; ++k) {
      if (!into[k] || !other[k]) {
        into[k].reset();
      } else {
        into[k] = std::max(*into[k], *other[k]);
      }
    }
  };
  if (two_ways) worse_of(found.arrival_s, sim::single_throw(at, pulse, true));
  const bool missed = std::any_of(found.arrival_s.begin(), found.arrival_s.end(), [](const auto& t) { return !t; });
  if (missed && detail == Detail::full) {
    constexpr double longer = 10;
    found.longer_s = sim::single_throw(at, longer * pulse, false);
    if (two_ways) worse_of(found.longer_s, sim::single_throw(at, longer * pulse, true));
  }
  for (std::size_t k = 0; k < count; ++k) {
    found.running_A.push_back(charge.mean(k));
    found.running_sum_A += found.running_A.back();
  }
  return found;
}

const sim::WorstCount& Findings::lockout(std::size_t a, bool charging) const {
  return keep(lockouts_[2 * a + (charging ? 1 : 0)], [&] { return solve_lockout(a, charging, sim::counted_times, 1); });
}

sim::WorstCount Findings::solve_lockout(std::size_t a, bool charging, int most_times, double ptc_scale) const {
  const auto& supply = study_.job.supply;
  const sim::Condition at{.voltage_V = charging ? supply.charge_V : supply.usual_V,
                          .ambient_C = ambient(a),
                          .after_trip = true,
                          .ptc_scale = ptc_scale};
  const sim::CyclePlan plan{.cycles = most_times * wanted_cycles(a),
                      .on_s = study_.job.pulse.on_s,
                      .gap_s = study_.job.use.gap_s};
  return sim::count_worst(study_, at, plan, progress_);
}

// docs/model.md (8.3)
HeldCurrent held_current(const model::Study& study, const std::vector<sim::DoorStall>& stall,
                         std::optional<std::size_t> door) {
  if (door) {
    const sim::DoorStall& only = stall[*door];
    return {only.initial_current_A, only.trip_time_s.value_or(fault_stall_s), only.trip_time_s.has_value()};
  }
  HeldCurrent held{study.job.feed.other_load_A, 0, true};
  for (const sim::DoorStall& each : stall) {
    held.current_A += each.initial_current_A;
    held.trips = held.trips && each.trip_time_s.has_value();
    held.seconds = std::max(held.seconds, each.trip_time_s.value_or(fault_stall_s));
  }
  return held;
}

// docs/model.md (7.5)
double Findings::bolted_short_A(std::optional<std::size_t> door) const {
  // The feed stands at the controller, the branch in the door.
  const double feed_hot = study_.job.feed.hot_C;
  const double hot = ambient(hot_level);
  const sim::Circuit at_feed =
      sim::make_circuit(study_, {.voltage_V = voltage(usual_level), .ambient_C = feed_hot}, {0});
  double ohms = at_feed.shared_ohm;
  if (door) {
    const sim::Circuit at_door = sim::make_circuit(study_, {.voltage_V = voltage(usual_level), .ambient_C = hot}, {*door});
    ohms += at_door.doors[0].branch_ohm;
  }
  return voltage(usual_level) / ohms;
}

void Findings::prepare(unsigned workers) {
  workers_ = workers;
  std::vector<std::function<void()>> tasks;
  for (std::size_t a = 0; a < levels; ++a) {
    tasks.emplace_back([this, a] { lockout(a, false); });
    tasks.emplace_back([this, a] { lockout(a, true); });
  }
  for (std::size_t v = 0; v < levels; ++v) {
    for (std::size_t a = 0; a < levels; ++a) {
      tasks.emplace_back([this, v, a] { cycling(v, a); });
      tasks.emplace_back([this, v, a] { throws(v, a); });
      tasks.emplace_back([this, v, a] { fault_stall(v, a); });
      tasks.emplace_back([this, v, a] { stall_currents(v, a); });
    }
  }
  tasks.emplace_back([this] { feed_stall(); });
  std::atomic<std::size_t> done{0};
  base::for_each_index(tasks.size(), workers, [&](std::size_t k) {
    if (progress_.cancelled()) throw base::Cancelled();
    tasks[k]();
    progress_.report(static_cast<double>(++done) / static_cast<double>(tasks.size()), "checking");
  });
}

}  // namespace latchwright::verdict
