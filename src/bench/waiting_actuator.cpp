// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/waiting_actuator.h"

#include <algorithm>

#include "base/failure.h"
#include "sim/pulse.h"
#include "sim/stall.h"

namespace latchwright::bench {

namespace {

constexpr double enough_force = 0.5;  // of the cold one
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

void WaitingActuator::rested(std::size_t member, const AfterUse& from, double seconds,
                             std::vector<double>& T_C) const {
  T_C = from.T_C;
  if (seconds > 0) rests_[member].door_after(0, from.T_C.data(), seconds, T_C.data());
}

double WaitingActuator::force_share(std::size_t member, const std::vector<double>& T_C) const {
  if (cold_force_[member] <= 0) return 1;  // too weak at any time: nothing to wait for
  return force_at(members_[member], T_C.data()) / cold_force_[member];
}

double WaitingActuator::regains_s(std::size_t member, const std::vector<double>& T_C) const {
  if (force_share(member, T_C) >= enough_force) return 0;
  std::vector<double> T = T_C;
  const auto enough_after = [&](double seconds) {
    rests_[member].door_after(0, T_C.data(), seconds, T.data());
    return force_share(member, T) >= enough_force;
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

const std::vector<AfterUse>& WaitingActuator::after_trip() {
  if (!trip_.empty()) return trip_;
  base::NoProgress quiet;
  for (std::size_t k = 0; k < members_.size(); ++k) {
    look_for_cancel(0.5 * static_cast<double>(k) / static_cast<double>(members_.size()));
    const auto& circuit = members_[k].circuit;
    AfterUse after{sim::ambient_temperatures(circuit), 0};
    const auto trip = sim::simulate_stall(circuit, longest_trip_s, {}, quiet).front().trip_time_s;
    if (trip) {
      const auto held = sim::simulate_stall(circuit, *trip + members_[k].held_s, {}, quiet).front();
      std::copy(held.final_C.begin(), held.final_C.end(), after.T_C.begin());
      after.regains_s = regains_s(k, after.T_C);
    }
    trip_.push_back(std::move(after));
  }
  return trip_;
}

void WaitingActuator::prepare(std::vector<int> throws) {
  std::erase_if(throws, [this](int n) { return throws_.contains(n); });
  if (throws.empty()) return;
  std::sort(throws.begin(), throws.end());
  for (const int n : throws) throws_[n].resize(members_.size());
  for (std::size_t k = 0; k < members_.size(); ++k) {
    look_for_cancel(0.5 + 0.5 * static_cast<double>(k) / static_cast<double>(members_.size()));
    sim::PulseEngine engine(members_[k].circuit);
    std::vector<double> T = sim::ambient_temperatures(members_[k].circuit);
    int done = 0;
    for (const int n : throws) {
      for (; done < n; ++done) {
        if (done > 0) rests_[k].door_after(0, T.data(), gap_s_, T.data());
        engine.run(T, 0, on_s_, done % 2 == 1, {});
        if (done % 100 == 99) look_for_cancel(0.5);
      }
      throws_[n][k] = {T, regains_s(k, T)};
    }
  }
}

const std::vector<AfterUse>& WaitingActuator::after_throws(int throws) {
  prepare({throws});
  return throws_.at(throws);
}

}  // namespace latchwright::bench
