// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/sound_reading.h"

#include <algorithm>
#include <cmath>

#include "base/failure.h"
#include "physics/motor.h"
#include "sim/cycle.h"
#include "sim/pulse.h"
#include "sim/trace.h"

namespace latchwright::bench {

namespace {

constexpr double longest_throw_s = 10;  // what a pulse may last at most

double leads_ohm(const sim::DoorCircuit& door, const double* T) {
  return door.motor.winding_ohm(T[physics::winding]) + door.ptc.resistance(T[physics::ptc]).value;
}

/// Currents at given times.
class Sampled final : public sim::Observer {
 public:
  explicit Sampled(const std::vector<double>& times) : times_(times) {}
  void segment(const sim::Segment& segment) override {
    while (current_A.size() < times_.size() && times_[current_A.size()] <= segment.end()) {
      segment.at(std::max(segment.begin(), times_[current_A.size()]), state_);
      current_A.push_back(state_[sim::slot_current]);
    }
    last_A_ = at_end(segment);
  }
  /// Times at the very end of the study may lie past its last step by rounding.
  void finish() { current_A.resize(times_.size(), last_A_); }
  std::vector<double> current_A;

 private:
  double at_end(const sim::Segment& segment) {
    segment.at(segment.end(), state_);
    return state_[sim::slot_current];
  }
  const std::vector<double>& times_;
  sim::State state_;
  double last_A_ = 0;
};

/// The moment at which the winding passes a limit.
class LimitPassed final : public sim::Observer {
 public:
  LimitPassed(const physics::HeatNetwork& heat, double limit_C) : heat_(heat), limit_C_(limit_C) {}
  void segment(const sim::Segment& segment) override {
    if (when_s || !above(segment, segment.end())) return;
    double before = segment.begin(), after = segment.end();
    // It rises all the while it is held, until it has tripped.
    while (after - before > 1e-6 * after) {
      const double half = 0.5 * (before + after);
      (above(segment, half) ? after : before) = half;
    }
    when_s = after;
  }
  std::optional<double> when_s;

 private:
  bool above(const sim::Segment& segment, double t) {
    segment.at(t, state_);
    return heat_.hottest_coil(state_.data() + sim::slot_temperature) > limit_C_;
  }
  const physics::HeatNetwork& heat_;
  double limit_C_;
  sim::State state_;
};

/// Rest after which the leads stay within 10 % of cold: the last moment outside counts.
double leads_cooled_s(const SoundReading& reading, double slowest_s) {
  constexpr double near = 0.1, fine = 1.02, shortest = 1e-3;
  const auto off = [&](double t) { return std::fabs(reading.leads_after(t) / reading.cold_ohm - 1) > near; };
  double inside = std::max(10.0, 25 * slowest_s);
  double outside = inside / fine;
  while (outside > shortest && !off(outside)) {
    inside = outside;
    outside /= fine;
  }
  if (outside <= shortest) return off(0) ? inside : 0.0;
  while (inside - outside > 1e-6 * inside) {
    const double half = 0.5 * (inside + outside);
    (off(half) ? outside : inside) = half;
  }
  return inside;
}

void read_held(SoundReading& reading, const model::Motor& motor, base::Progress& progress) {
  Sampled sampled(held_times());
  const physics::HeatNetwork& heat = reading.circuit.doors[0].heat;
  LimitPassed past_class(heat, motor.winding_class_C);
  LimitPassed past_fault(heat, physics::winding_fault_limit_C(motor));
  const auto stall =
      sim::simulate_stall(reading.circuit, stall_limit_s, {&sampled, &past_class, &past_fault}, progress)
          .front();
  sampled.finish();
  reading.class_passed_s = past_class.when_s;
  reading.fault_passed_s = past_fault.when_s;
  reading.at_once_A = stall.initial_current_A;
  reading.trip_s = stall.trip_time_s;
  reading.limited_by = stall.limited_by;
  reading.end_A = stall.final_current_A;
  reading.held_A = std::move(sampled.current_A);
  const auto& times = held_times();
  const auto minute = std::find(times.begin(), times.end(), minute_s);
  reading.minute_A = reading.held_A[static_cast<std::size_t>(minute - times.begin())];
}

void read_tripped(SoundReading& reading, const sim::Circuit& loaded, base::Progress& progress) {
  if (!reading.trip_s) return;
  const auto stall =
      sim::simulate_stall(reading.circuit, *reading.trip_s + past_trip_s, {}, progress).front();
  reading.tripped_C.assign(stall.final_C.begin(), stall.final_C.end());
  reading.beyond_table = stall.beyond_table;
  reading.tripped_ohm = reading.leads_after(0);
  reading.cooled_s = leads_cooled_s(reading, reading.rest->slowest_s());
  reading.moves_s = sim::solve_recovery(loaded, reading.tripped_C, pulse_s, false).recovery_s;
}

void read_free(SoundReading& reading) {
  reading.throw_s = sim::single_throw(reading.circuit, longest_throw_s, false).front();
  if (!reading.throw_s) return;
  constexpr double samples = 1000;
  sim::TraceObserver trace(reading.circuit, *reading.throw_s / samples);
  sim::single_throw(reading.circuit, *reading.throw_s, false, {&trace});
  const auto smaller = [](const sim::TraceSample& a, const sim::TraceSample& b) {
    return a.current_A < b.current_A;
  };
  const auto& all = trace.samples();
  const auto rush = std::max_element(all.begin(), all.end(), smaller);
  if (rush != all.end()) reading.free_A = std::min_element(rush, all.end(), smaller)->current_A;
}

}  // namespace

double SoundReading::leads_after(double rest_s) const {
  physics::Temperatures T;
  if (rest_s > 0) {
    rest->door_after(0, tripped_C.data(), rest_s, T.data());
  } else {
    std::copy(tripped_C.begin(), tripped_C.end(), T.begin());
  }
  return leads_ohm(circuit.doors[0], T.data());
}

const std::vector<double>& held_times() {
  static const std::vector<double> times = [] {
    std::vector<double> list;
    constexpr double first = 0.01, growth = 1.03;
    for (double t = first; t < stall_limit_s; t *= growth) list.push_back(t);
    list.push_back(minute_s);
    list.push_back(stall_limit_s);
    std::sort(list.begin(), list.end());
    return list;
  }();
  return times;
}

double cold_force(const model::Actuator& actuator, const model::PtcCurve& curve, const sim::Condition& at) {
  const sim::Circuit circuit = sim::make_bench_circuit(actuator, curve, at);
  physics::Temperatures ambient;
  ambient.fill(at.ambient_C);
  return sim::standstill_force(circuit.doors[0], sim::ambient_stall_currents(circuit).front(), ambient);
}

SoundReading read_sound(const model::Actuator& actuator, const model::PtcCurve& curve,
                        const sim::Condition& at, double load_N, base::Progress& progress) {
  if (progress.cancelled()) throw base::Cancelled();
  SoundReading reading;
  reading.circuit = sim::make_bench_circuit(actuator, curve, at);
  reading.rest.emplace(reading.circuit);
  physics::Temperatures ambient;
  ambient.fill(at.ambient_C);
  reading.cold_ohm = leads_ohm(reading.circuit.doors[0], ambient.data());
  reading.force_N = cold_force(actuator, curve, at);
  model::RodForce load;
  load.peak = load_N;
  read_held(reading, actuator.motor, progress);
  read_tripped(reading, sim::make_bench_circuit(actuator, curve, at, load), progress);
  if (progress.cancelled()) throw base::Cancelled();
  read_free(reading);
  return reading;
}

}  // namespace latchwright::bench
