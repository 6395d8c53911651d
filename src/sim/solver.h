// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <memory>
#include <string>
#include <vector>

// The seam between what is solved and what solves it: rates and event functions on one side, the stepping library
// in solver.cpp on the other.
namespace latchwright::sim {

using State = std::vector<double>;

/// A system of ordinary differential equations with events.
class System {
 public:
  virtual ~System() = default;
  virtual void rates(const State& x, State& dxdt, double t) = 0;
  virtual std::size_t event_count() const = 0;
  /// Event k happens when g[k] becomes positive. Smooth between events: modes change only when an event has ended
  /// the run.
  virtual void events(const State& x, double t, double* g) = 0;
  /// Whether the run may end early after a step, because a simpler system takes over.
  virtual bool settled(const State& x, double t) = 0;
  /// What counts as small for a slot of the state: the solver's absolute tolerance is taken times this.
  virtual double small_value(std::size_t slot) const {
    (void)slot;
    return 1;
  }
  /// For messages when the run cannot go on.
  virtual std::string describe(const State& x) const = 0;
};

/// One accepted step with its interpolant.
class Step {
 public:
  virtual ~Step() = default;
  virtual double begin() const = 0;
  virtual double end() const = 0;
  /// The state at begin() <= t <= end(); x takes the size it needs.
  virtual void at(double t, State& x) const = 0;
};

class StepSink {
 public:
  virtual ~StepSink() = default;
  virtual void take(const Step& step) = 0;
};

enum class Ended { time, event, settled };

/// Runs a system forward: Dormand–Prince 5(4) with dense output and error control (Boost.Odeint); events are
/// bracketed at step ends and midpoints and located on the interpolant to rounding.
class Solver {
 public:
  Solver(double absolute_tolerance, double relative_tolerance);
  ~Solver();
  Solver(const Solver&) = delete;
  Solver& operator=(const Solver&) = delete;

  /// Advances x from t to at most t_end; t and x are where the run ended, just past the event when one ended it.
  /// first_step: a guess, s. Throws base::StudyError when no step size is small enough or the run takes more steps
  /// than any lawful study needs.
  Ended run(System& system, State& x, double& t, double t_end, double first_step, StepSink& sink);

  /// The size of the last step taken, s: a good first_step for a run that continues.
  double last_step() const { return last_step_; }

 private:
  struct Stepper;
  std::unique_ptr<Stepper> stepper_;
  double last_step_ = 0;
};

}  // namespace latchwright::sim
