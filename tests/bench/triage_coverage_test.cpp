// SPDX-License-Identifier: GPL-3.0-or-later
// Actuators whose fault is known, with stories remembered as people remember: what triage says must be as
// often true as it says. They are made here, by the engine and by the spreads that docs/model.md section 11
// states, not by what triage makes of them.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <random>

#include "bench/sound_reading.h"
#include "model/tolerance.h"
#include "sim/cycle.h"
#include "sim/pulse.h"
#include "sim/stall.h"
#include "support/bench_actuators.h"

using namespace latchwright;
using bench::Moves;
using bench::Readings;
using bench::State;

namespace {

class Dice {
 public:
  explicit Dice(std::uint64_t seed) : bits_(seed) {}
  double even(double low = 0, double high = 1) {
    return low + (high - low) * std::ldexp(static_cast<double>(bits_() >> 11), -53);
  }
  double ratio(double low, double high) { return low * std::pow(high / low, even()); }
  double normal() {
    const double u = 1 - even(), v = even();
    return std::sqrt(-2 * std::log(u)) * std::cos(2 * std::numbers::pi * v);
  }
  template <class Chances>
  std::size_t one_of(const Chances& chances) {
    double left = even();
    std::size_t k = 0;
    for (; k + 1 < chances.size() && left >= chances[k]; ++k) left -= chances[k];
    return k;
  }

 private:
  std::mt19937_64 bits_;  // the same numbers by every standard library
};

struct Case {
  State state;
  Readings readings;
};

/// Any actuator within the part's tolerances, at any ambient, heated by its story and left to rest.
class Actual {
 public:
  Actual(const tests::BenchActuator& part, Dice& dice) {
    model::Actuator own = part.actuator;
    for (const char* pointer : {"/motor/resistance_ohm", "/ptc/resistance_ohm", "/ptc/heat_J_per_K",
                                "/ptc/to_housing_mW_per_K", "/ptc/to_case_mW_per_K"}) {
      const auto stated = own.tolerance.find(pointer);
      const double half = stated != own.tolerance.end() ? stated->second : model::usual_tolerance(pointer);
      own = model::with_scaled(own, pointer, dice.even(1 - half, 1 + half));
    }
    sim::Condition at{.voltage_V = 12.6, .ambient_C = dice.even(5, 35)};
    at.ptc_scale = dice.even(1, own.ptc.after_trip_ratio);
    circuit_ = sim::make_bench_circuit(own, part.curve, at);
    model::RodForce load;
    load.peak = 0.5 * bench::cold_force(own, part.curve, at);
    loaded_ = sim::make_bench_circuit(own, part.curve, at, load);
    T_ = sim::ambient_temperatures(circuit_);
  }
  /// Held until tripped and on; false where it does not.
  bool trip(double held_s) {
    base::NoProgress quiet;
    const auto tripped = sim::simulate_stall(circuit_, 300, {}, quiet).front().trip_time_s;
    if (!tripped) return false;
    const auto last = sim::simulate_stall(circuit_, *tripped + held_s, {}, quiet).front();
    T_.assign(last.final_C.begin(), last.final_C.end());
    return true;
  }
  void throws(int count) {
    sim::PulseEngine engine(circuit_);
    const sim::Rest rest(circuit_);
    for (int k = 0; k < count; ++k) {
      if (k > 0) rest.after(T_, 1.0, T_);
      engine.run(T_, 0, 0.7, k % 2 == 1, {});
    }
  }
  void leave(double seconds) { sim::Rest(circuit_).after(T_, seconds, T_); }
  /// s until a loaded throw completes.
  double waits_s() const {
    return sim::solve_recovery(loaded_, T_, bench::pulse_s, false).recovery_s.value_or(1e9);
  }
  double ohms() const {
    const auto& door = circuit_.doors.front();
    return door.motor.winding_ohm(T_[physics::winding]) + door.ptc.resistance(T_[physics::ptc]).value;
  }
  double winding() const { return circuit_.doors.front().motor.winding_ohm(circuit_.at.ambient_C); }

 private:
  sim::Circuit circuit_, loaded_;
  std::vector<double> T_;
};

double rest_s(Dice& dice) {
  std::vector<double> chances;
  for (const auto& bin : bench::idle_bins()) chances.push_back(bin.chance);
  const auto& bin = bench::idle_bins()[dice.one_of(chances)];
  return 60 * (bin.from_min > 0 ? dice.ratio(bin.from_min, bin.to_min) : dice.even(0, bin.to_min));
}

int throws_before(Dice& dice) {
  std::vector<double> chances;
  for (const auto& bin : bench::used_bins()) chances.push_back(bin.chance);
  const auto& bin = bench::used_bins()[dice.one_of(chances)];
  return bin.from + static_cast<int>(dice.even() * (std::min(bin.to, 45) - bin.from + 1));
}

/// One case with what its owner tells: rest to 30 % and some seconds, throws to 30 %, some of it not at all.
Case make_case(const tests::BenchActuator& part, Dice& dice) {
  const auto prior = bench::priors(2);
  Case made{bench::all_states[dice.one_of(prior)], {}};
  const bool tells_throws = dice.even() < 0.4;
  for (;;) {
    Actual actual(part, dice);
    const int throws = tells_throws ? throws_before(dice) : 0;
    const double rest = rest_s(dice);
    const bool waiting = made.state == State::waiting;
    // What works was held until it tripped now and then; what waits always, where no throws came before.
    if (tells_throws) {
      actual.throws(throws);
    } else if (waiting || dice.even() < 0.3) {
      if (!actual.trip(dice.even(1, 30)) && waiting) continue;
    }
    const bool works = made.state == State::sound || made.state == State::supply;
    if (waiting || works) actual.leave(rest);
    if (waiting != (actual.waits_s() > 0) && (waiting || works)) continue;
    double ohms = actual.ohms() + (dice.even() < 0.6 ? 0 : dice.ratio(0.3, 30));
    bool open = dice.even() < bench::open_line_chance(made.state);
    if (made.state == State::open) ohms = std::pow(10, dice.even(2, 7));
    if (made.state == State::shorted) ohms = 0.4 * actual.winding() * dice.even();
    if (made.state == State::worn) ohms = dice.ratio(2, 30) * (actual.winding() + 0.15);
    if (made.state == State::seized) ohms = actual.winding() + 0.15;
    Readings& r = made.readings;
    r.meter_ohm = 0.2;
    ohms += *r.meter_ohm;
    if (open) {
      r.leads_ohm = std::numeric_limits<double>::infinity();
    } else {
      r.leads_ohm = std::max(0.0, ohms + std::hypot(0.08, 0.04 * ohms) * dice.normal());
    }
    const double told_s = std::max(0.0, rest * (1 + 0.3 * dice.even(-1, 1)) + dice.even(-5, 2));
    r.idle_min = told_s < 5 ? 0 : told_s / 60;
    if (tells_throws) r.used = static_cast<int>(std::lround(throws * (1 + 0.3 * dice.even(-1, 1))));
    r.moves = static_cast<Moves>(dice.one_of(bench::moves_chances(made.state)));
    return made;
  }
}

struct Bin {
  double stated = 0, spread = 0;
  int cases = 0, true_ones = 0;
};

}  // namespace

TEST_CASE("triage: what it states is as often true as stated", "[bench][slow]") {
  constexpr int count = 200;
  std::array<Bin, 6> bins{};
  constexpr double edges[] = {0.02, 0.1, 0.3, 0.6, 0.9, 1.01};
  int ruled_out = 0, all = 0, waiting = 0, told_waiting = 0;
  for (const char* id : {"act-ordinary-2w", "act-ordinary-ceramic", "act-heavy-5w-copper"}) {
    auto part = tests::bench_actuator(id);
    part.actuator.wires = 2;
    Readings common;
    common.meter_ohm = 0.2;
    tests::Insides insides(part, common);
    Dice dice(20261126 + static_cast<std::uint64_t>(all));
    for (int k = 0; k < count; ++k, ++all) {
      const Case each = make_case(part, dice);
      bench::PerState likelihood{};
      for (const State state : bench::all_states) {
        if (insides.prior[bench::index_of(state)] <= 0) continue;
        likelihood[bench::index_of(state)] = insides.likelihoods.of(state, each.readings);
      }
      const auto now = bench::posterior(insides.prior, likelihood);
      const double truth = now[bench::index_of(each.state)];
      if (truth < 0.005) {
        ++ruled_out;
        UNSCOPED_INFO(id << " " << bench::id_of(each.state) << " stated " << truth << ": leads "
                         << *each.readings.leads_ohm << " idle " << *each.readings.idle_min << " used "
                         << each.readings.used.value_or(-1));
      }
      if (each.state == State::waiting) {
        ++waiting;
        if (truth > 0.5) ++told_waiting;
      }
      for (const State state : bench::all_states) {
        const double chance = now[bench::index_of(state)];
        std::size_t b = 0;
        while (chance >= edges[b]) ++b;
        bins[b].stated += chance;
        bins[b].spread += chance * (1 - chance);
        ++bins[b].cases;
        if (state == each.state) ++bins[b].true_ones;
      }
    }
  }
  // The true state is next to never as good as ruled out.
  CHECK(ruled_out <= all / 50);
  // A waiting one is mostly found.
  REQUIRE(waiting > 100);
  CHECK(told_waiting > 0.7 * waiting);
  // Of all that is stated with a chance within a band so many are true: three standard deviations of chance,
  // and a twentieth for what spreads as told and as made differ.
  for (const Bin& bin : bins) {
    if (bin.cases < 20) continue;
    CAPTURE(bin.cases, bin.true_ones, bin.stated);
    CHECK(std::fabs(bin.true_ones - bin.stated) < 3 * std::sqrt(bin.spread) + 0.05 * bin.cases);
  }
}
