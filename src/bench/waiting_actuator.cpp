// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/waiting_actuator.h"

#include <algorithm>
#include <cmath>

#include "base/failure.h"
#include "bench/sound_reading.h"
#include "bench/triage_stories.h"
#include "sim/pulse.h"
#include "sim/stall.h"

namespace latchwright::bench {

namespace {

constexpr double load_share = 0.5;  // of the cold force, as on a sheet of the bench
constexpr double longest_trip_s = 300;

double force_at(const Member& member, const double* T) {
  const sim::DoorCircuit& door = member.door();
  const double ohm = door.motor.winding_ohm(T[physics::winding]) + door.ptc.resistance(T[physics::ptc]).value;
  physics::Temperatures own;
  std::copy_n(T, physics::heat_nodes, own.begin());
  const double current = std::max(0.0, (member.circuit.source_V - door.motor.brush_drop) / ohm);
  return sim::standstill_force(door, current, own);
}

}  // namespace

WaitingActuator::WaitingActuator(const std::vector<Member>& members, double on_s, double gap_s,
                                 base::Progress& progress)
    : members_(members), on_s_(on_s), gap_s_(gap_s), progress_(progress) {
  for (const auto& member : members_) {
    rests_.emplace_back(member.circuit);
    cold_force_.push_back(force_at(member, sim::ambient_temperatures(member.circuit).data()));
  }
}

void WaitingActuator::look_for_cancel(double fraction) const {
  if (progress_.cancelled()) throw base::Cancelled();
  progress_.report(fraction, "heating and cooling");
}

double WaitingActuator::force_share(std::size_t member, const std::vector<double>& T_C) const {
  if (cold_force_[member] <= 0) return 1;  // too weak at any time: nothing to wait for
  return force_at(members_[member], T_C.data()) / cold_force_[member];
}

double WaitingActuator::rest_until(std::size_t member, const std::vector<double>& T_C, double share) const {
  if (force_share(member, T_C) >= share) return 0;
  std::vector<double> T = T_C;
  const auto enough_after = [&](double seconds) {
    rests_[member].door_after(0, T_C.data(), seconds, T.data());
    return force_share(member, T) >= share;
  };
  constexpr double first_s = 0.05, growth = 1.15;
  const double end = std::max(10.0, 25 * rests_[member].slowest_s());
  double short_s = 0, long_s = first_s;
  while (!enough_after(long_s)) {
    short_s = long_s;
    long_s *= growth;
    if (long_s > growth * end) return end;
  }
  while (long_s - short_s > 1e-6 * long_s) {
    const double half = 0.5 * (short_s + long_s);
    (enough_after(half) ? long_s : short_s) = half;
  }
  return long_s;
}

double WaitingActuator::share_needed(std::size_t member, const std::vector<double>& T_C) const {
  // Less than the load does not even begin to move.
  const double least_s = rest_until(member, T_C, load_share);
  sim::PulseEngine engine(members_[member].loaded);
  std::vector<double> T;
  const auto completes = [&](double seconds) {
    T = T_C;
    rests_[member].door_after(0, T_C.data(), seconds, T.data());
    return engine.run(T, 0, pulse_s, false, {}).front().has_value();
  };
  constexpr double growth = 1.15, fine = 0.005, longest = 20;
  double fails = least_s, moves = std::max(least_s, 0.05) * growth;
  while (!completes(moves)) {
    fails = moves;
    moves *= growth;
    // Not even a long rest lets it throw this load: judged by its force alone.
    if (moves > longest * std::max(least_s, 1.0)) return load_share;
  }
  while (moves - fails > fine * moves) {
    const double half = 0.5 * (fails + moves);
    (completes(half) ? moves : fails) = half;
  }
  rests_[member].door_after(0, T_C.data(), moves, T.data());
  return force_share(member, T);
}

Moment WaitingActuator::moment(std::size_t member, const AfterUse& after, double from_s, double to_s,
                               double share) const {
  const sim::DoorCircuit& door = members_[member].door();
  Moment made{.from_s = from_s, .to_s = to_s, .at_s = from_s + share * (to_s - from_s)};
  physics::Temperatures T;
  rests_[member].door_after(0, after.T_C.data(), made.at_s, T.data());
  made.winding_ohm = door.motor.winding_ohm(T[physics::winding]);
  made.thermistor_ohm = door.ptc.resistance(T[physics::ptc]).value;
  made.usual = rest_shorter(to_s) - rest_shorter(from_s);
  return made;
}

void WaitingActuator::let_rest(std::size_t member, AfterUse& after) const {
  constexpr int waiting_stretches = 16, cooling_stretches = 10;
  constexpr double golden = 0.6180339887498949, first_s = 2, growth = 1.6;
  // Where in its stretch: another place in each and for each member, all evenly.
  const auto place = [&](int k) {
    const double at = members_[member].at_rest + golden * k;
    return at - std::floor(at);
  };
  double from = 0;
  for (int k = 1; after.regains_s > 0 && k <= waiting_stretches; ++k) {
    const double share = static_cast<double>(k) / waiting_stretches;
    const double to = after.regains_s * share * share;
    after.waits.push_back(moment(member, after, from, to, place(k)));
    from = to;
  }
  from = after.regains_s;
  for (int k = 1; k <= cooling_stretches; ++k) {
    const double to = after.regains_s + first_s * (std::pow(growth, k) - 1);
    after.cools.push_back(moment(member, after, from, to, place(k)));
    from = to;
  }
}

const std::vector<AfterUse>& WaitingActuator::after_trip() {
  if (!trip_.empty()) return trip_;
  base::NoProgress quiet;
  for (std::size_t k = 0; k < members_.size(); ++k) {
    look_for_cancel(0.5 * static_cast<double>(k) / static_cast<double>(members_.size()));
    const auto& circuit = members_[k].circuit;
    AfterUse after;
    after.T_C = sim::ambient_temperatures(circuit);
    const auto held_long = sim::simulate_stall(circuit, longest_trip_s, {}, quiet).front();
    settled_A_.push_back(held_long.final_current_A);
    needs_.push_back(load_share);
    if (held_long.trip_time_s) {
      const auto held =
          sim::simulate_stall(circuit, *held_long.trip_time_s + members_[k].held_s, {}, quiet).front();
      std::copy(held.final_C.begin(), held.final_C.end(), after.T_C.begin());
      needs_.back() = share_needed(k, after.T_C);
      after.regains_s = rest_until(k, after.T_C, needs_.back());
    }
    let_rest(k, after);
    trip_.push_back(std::move(after));
  }
  return trip_;
}

const std::vector<double>& WaitingActuator::settled_A() {
  after_trip();
  return settled_A_;
}

void WaitingActuator::prepare(std::vector<int> told) {
  after_trip();  // tells what each needs
  std::erase_if(told, [this](int n) { return throws_.contains(n); });
  if (told.empty()) return;
  std::sort(told.begin(), told.end());
  told.erase(std::unique(told.begin(), told.end()), told.end());
  for (const int n : told) throws_[n].resize(members_.size());
  for (std::size_t k = 0; k < members_.size(); ++k) {
    look_for_cancel(0.5 + 0.5 * static_cast<double>(k) / static_cast<double>(members_.size()));
    sim::PulseEngine engine(members_[k].circuit);
    std::vector<double> T = sim::ambient_temperatures(members_[k].circuit), two_before = T;
    int done = 0;
    bool steady = false;
    for (const int n : told) {
      for (const int made = made_throws(n, members_[k].at_use); done < made && !steady; ++done) {
        if (done % 2 == 0) {
          // The same as two throws before: so it stays.
          steady = done > 0 && std::equal(T.begin(), T.end(), two_before.begin(),
                                          [](double a, double b) { return std::fabs(a - b) < 1e-3; });
          two_before = T;
        }
        if (done > 0) rests_[k].door_after(0, T.data(), gap_s_, T.data());
        engine.run(T, 0, on_s_, done % 2 == 1, {});
        if (done % 100 == 99) look_for_cancel(0.5);
      }
      AfterUse after;
      after.T_C = T;
      after.regains_s = rest_until(k, T, needs_[k]);
      let_rest(k, after);
      throws_[n][k] = std::move(after);
    }
  }
}

const std::vector<AfterUse>& WaitingActuator::after_throws(int told) {
  prepare({told});
  return throws_.at(told);
}

}  // namespace latchwright::bench
