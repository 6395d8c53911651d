// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/made_logs.h"

#include <cmath>
#include <random>

#include "sim/cycle.h"
#include "sim/stall.h"
#include "support/catalogue.h"

namespace latchwright::tests {

namespace {

/// Currents of the one door at times that rise.
class Currents final : public sim::Observer {
 public:
  explicit Currents(std::vector<double> times) : times_(std::move(times)) {}
  void segment(const sim::Segment& segment) override {
    sim::State state;
    while (next_ < times_.size() && times_[next_] <= segment.end()) {
      segment.at(std::max(times_[next_], segment.begin()), state);
      current_A.push_back(state[sim::slot_current]);
      ++next_;
    }
  }
  std::vector<double> current_A;

 private:
  std::vector<double> times_;
  std::size_t next_ = 0;
};

/// As the instruments show what truly flows.
class Instruments {
 public:
  explicit Instruments(const Logging& logging) : logging_(logging), random_(logging.seed) {}
  double current(double true_A) {
    double shown = true_A + logging_.zero_A + logging_.noise_A * normal_(random_);
    if (logging_.step_A > 0) shown = std::round(shown / logging_.step_A) * logging_.step_A;
    return std::min(shown, logging_.clip_A);
  }
  double voltage(double true_V) { return true_V + logging_.noise_V * normal_(random_); }

 private:
  const Logging& logging_;
  std::mt19937_64 random_;
  std::normal_distribution<double> normal_;
};

/// Times from power on, of samples before and after it.
std::vector<double> times_of(const Logging& logging, bool on) {
  const double dt = 1 / logging.rate_Hz;
  std::vector<double> times;
  if (!on) {
    const auto count = static_cast<int>(logging.before_s * logging.rate_Hz);
    for (int k = count; k > 0; --k) times.push_back((1 - logging.phase - k) * dt);
  } else {
    const double twice_s = logging.off_s > 0 ? logging.off_s + logging.length_s : 0;
    // Of two pulses not the last moment: nothing is simulated beyond it.
    const auto count =
        static_cast<int>((logging.length_s + twice_s) * logging.rate_Hz) - (logging.off_s > 0 ? 1 : 0);
    for (int k = 0; k < count; ++k) times.push_back((1 - logging.phase + k) * dt);
  }
  return times;
}

template <class Current>
model::BenchLog made(double voltage_V, const Logging& logging, const Current& current) {
  model::BenchLog log;
  log.name = "made.csv";
  Instruments instruments(logging);
  const auto add = [&](double t, double amps, double volts) {
    log.time_s.push_back(logging.start_s + t);
    log.current_A.push_back(instruments.current(amps));
    log.voltage_V.push_back(instruments.voltage(volts));
  };
  for (const double t : times_of(logging, false)) add(t, 0, 0);
  const auto on = times_of(logging, true);
  for (std::size_t k = 0; k < on.size(); ++k) {
    const bool off =
        logging.off_s > 0 && on[k] >= logging.length_s && on[k] < logging.length_s + logging.off_s;
    add(on[k], off ? 0 : current(k), off ? 0 : voltage_V);
  }
  return log;
}

}  // namespace

const model::Actuator& catalogue_actuator(const std::string& id) {
  return std::get<model::Actuator>(catalogue().find(id)->body);
}

const model::PtcCurve& catalogue_curve(const model::Actuator& actuator) {
  return model::curve_of(actuator, catalogue());
}

model::PtcCurve shifted(const model::PtcCurve& curve, double kelvin) {
  const double at_25 = physics::RatioCurve(curve).ratio(25 - kelvin);
  model::PtcCurve out = curve;
  for (double& T : out.T_C) T += kelvin;
  for (double& ratio : out.ratio) ratio /= at_25;
  return out;
}

model::BenchLog held_log(const model::Actuator& actuator, const model::PtcCurve& curve, double voltage_V,
                         double ambient_C, const Logging& logging) {
  const sim::Circuit circuit =
      sim::make_bench_circuit(actuator, curve, {.voltage_V = voltage_V, .ambient_C = ambient_C});
  Currents currents(times_of(logging, true));
  base::NoProgress progress;
  if (logging.off_s > 0) {
    // Two pulses that do not move the rod.
    model::RodForce vice;
    vice.peak = 1e5;
    const sim::Circuit held =
        sim::make_bench_circuit(actuator, curve, {.voltage_V = voltage_V, .ambient_C = ambient_C}, vice);
    sim::simulate_cycles(held,
                         {.cycles = 1, .on_s = logging.length_s, .gap_s = logging.off_s, .on_through = true},
                         {&currents}, progress);
  } else {
    sim::simulate_stall(circuit, logging.length_s + 2 / logging.rate_Hz, {&currents}, progress);
  }
  return made(voltage_V, logging, [&](std::size_t k) { return currents.current_A.at(k); });
}

model::BenchLog free_log(double current_A, double voltage_V, const Logging& logging) {
  return made(voltage_V, logging, [current_A](std::size_t) { return current_A; });
}

}  // namespace latchwright::tests
