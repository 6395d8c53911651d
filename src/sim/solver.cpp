// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/solver.h"

#include <fmt/format.h>

#include <algorithm>
#include <boost/math/tools/roots.hpp>
#include <boost/numeric/odeint/stepper/controlled_runge_kutta.hpp>
#include <boost/numeric/odeint/stepper/dense_output_runge_kutta.hpp>
#include <boost/numeric/odeint/stepper/runge_kutta_dopri5.hpp>
#include <cmath>
#include <limits>

#include "base/failure.h"

namespace latchwright::sim {

namespace odeint = boost::numeric::odeint;

namespace {

using Dopri5 = odeint::runge_kutta_dopri5<State>;

/// Largest error of a step relative to what is permitted for each slot.
class SlotErrorChecker {
 public:
  using value_type = double;
  using algebra_type = Dopri5::algebra_type;
  using operations_type = Dopri5::operations_type;

  /// absolute: of every slot; must outlive the checker and all its copies.
  SlotErrorChecker(const std::vector<double>& absolute, double relative)
      : absolute_(&absolute), relative_(relative) {}

  double error(algebra_type&, const State& x, const State& dxdt, const State& x_error, double dt) const {
    double worst = 0;
    for (std::size_t k = 0; k < x.size(); ++k) {
      const double size = std::fabs(x[k]) + std::fabs(dt * dxdt[k]);
      const double permitted = (*absolute_)[k] + relative_ * size;
      const double off = std::fabs(x_error[k]);
      if (off <= worst * permitted) continue;
      worst = off / permitted;
      if (!(worst >= 0)) return std::numeric_limits<double>::infinity();  // not a number: too large
    }
    return worst;
  }

 private:
  const std::vector<double>* absolute_;
  double relative_;
};

using Controlled = odeint::controlled_runge_kutta<Dopri5, SlotErrorChecker>;
using Dense = odeint::dense_output_runge_kutta<Controlled>;

constexpr long most_steps = 20'000'000;

class DenseStep final : public Step {
 public:
  DenseStep(const Dense& dense, double begin, double end) : dense_(dense), begin_(begin), end_(end) {}
  double begin() const override { return begin_; }
  double end() const override { return end_; }
  void at(double t, State& x) const override {
    x.resize(dense_.current_state().size());
    dense_.calc_state(t, x);
  }

 private:
  const Dense& dense_;
  double begin_;
  double end_;
};

}  // namespace

struct Solver::Stepper {
  double absolute;
  std::vector<double> slot_absolute;
  Dense dense;
  State probe;
  std::vector<double> now, begin, middle, end;

  Stepper(double absolute_tolerance, double relative)
      : absolute(absolute_tolerance), dense(Controlled(SlotErrorChecker(slot_absolute, relative))) {}

  /// The earliest time in (low, high] at which an event is past; events already past at `low` do not count.
  double first_event(System& system, double low, double high, const std::vector<double>& g_low,
                     const std::vector<double>& g_high) {
    double first = high;
    for (std::size_t k = 0; k < g_high.size(); ++k) {
      if (g_high[k] <= 0 || g_low[k] > 0) continue;
      const auto g = [&](double t) {
        dense.calc_state(t, probe);
        system.events(probe, t, now.data());
        return now[k];
      };
      double at = high;
      if (g_low[k] == 0) {
        // Starts on the edge: bisection towards the first moment that is past it.
        double before = low;
        for (int n = 0; n < 60 && at - before > 1e-15; ++n) {
          const double half = 0.5 * (before + at);
          (g(half) > 0 ? at : before) = half;
        }
      } else {
        std::uintmax_t most = 100;
        const auto bracket = boost::math::tools::toms748_solve(
            g, low, high, g_low[k], g_high[k], boost::math::tools::eps_tolerance<double>(50), most);
        at = bracket.second;
      }
      first = std::min(first, at);
    }
    return first;
  }
};

Solver::Solver(double absolute_tolerance, double relative_tolerance)
    : stepper_(std::make_unique<Stepper>(absolute_tolerance, relative_tolerance)) {}

Solver::~Solver() = default;

Ended Solver::run(System& system, State& x, double& t, double t_end, double first_step, StepSink& sink) {
  if (t >= t_end) return Ended::time;
  Stepper& s = *stepper_;
  const std::size_t events = system.event_count();
  s.probe.resize(x.size());
  s.now.resize(events);
  s.middle.resize(events);
  s.end.resize(events);
  s.begin.resize(events);
  s.slot_absolute.resize(x.size());
  for (std::size_t k = 0; k < x.size(); ++k) s.slot_absolute[k] = s.absolute * system.small_value(k);
  system.events(x, t, s.begin.data());
  const auto rates = [&system](const State& state, State& dxdt, double time) {
    system.rates(state, dxdt, time);
  };
  s.dense.initialize(x, t, std::min(first_step, t_end - t));
  for (long steps = 0;; ++steps) {
    const double from = t;
    double to;
    try {
      to = s.dense.do_step(rates).second;
    } catch (const odeint::odeint_error&) {
      to = from;
    }
    if (!(to > from) || steps > most_steps) {
      throw base::StudyError(
          fmt::format("the study cannot go on at t = {:.6g} s: {}", from, system.describe(x)));
    }
    last_step_ = to - from;
    const double stop = std::min(to, t_end);
    const double half = 0.5 * (from + stop);
    double at = stop;
    bool event = false;
    if (events > 0) {
      s.dense.calc_state(half, s.probe);
      system.events(s.probe, half, s.middle.data());
      if (stop < to) {
        s.dense.calc_state(stop, s.probe);
        system.events(s.probe, stop, s.end.data());
      } else {
        system.events(s.dense.current_state(), stop, s.end.data());
      }
      const auto past = [&s](const std::vector<double>& g) {
        for (std::size_t k = 0; k < g.size(); ++k) {
          if (g[k] > 0 && s.begin[k] <= 0) return true;
        }
        return false;
      };
      if (past(s.middle)) {
        at = s.first_event(system, from, half, s.begin, s.middle);
        event = true;
      } else if (past(s.end)) {
        at = s.first_event(system, half, stop, s.middle, s.end);
        event = true;
      }
    }
    if (at < to) {
      s.dense.calc_state(at, x);
    } else {
      x = s.dense.current_state();
    }
    for (const double value : x) {
      if (!std::isfinite(value)) {
        throw base::StudyError(
            fmt::format("the study cannot go on at t = {:.6g} s: {}", from, system.describe(x)));
      }
    }
    t = at;
    sink.take(DenseStep(s.dense, from, at));
    if (event) return Ended::event;
    if (at >= t_end) return Ended::time;
    if (system.settled(x, t)) return Ended::settled;
    std::swap(s.begin, s.end);
  }
}

}  // namespace latchwright::sim
