// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <concepts>
#include <cstddef>
#include <string>
#include <vector>

#include "sim/budget.h"
#include "sim/cubic.h"

// The seam between what is solved and what solves it: rates and event functions on one side, the stepping on
// the other. A template, because the rates of a standing door are so cheap that a call through a table would
// be felt.
namespace latchwright::sim {

using State = std::vector<double>;

/// Where a state stands in a step, so that a system may keep what it works out there.
enum class Place { begin, inside, end };

/// One accepted step: the cubic through both ends and their rates.
class Step {
 public:
  Step(double begin, double end, const State& first, const State& first_rate, const State& last,
       const State& last_rate)
      : begin_(begin),
        end_(end),
        first_(first),
        first_rate_(first_rate),
        last_(last),
        last_rate_(last_rate) {}
  double begin() const { return begin_; }
  double end() const { return end_; }
  /// The state at begin() <= t <= end(); x takes the size it needs.
  void at(double t, State& x) const { at_share((t - begin_) / (end_ - begin_), x); }
  /// The same at a share 0 <= u <= 1 of the step.
  void at_share(double u, State& x) const {
    u = std::clamp(u, 0.0, 1.0);
    const double h = end_ - begin_;
    x.resize(first_.size());
    for (std::size_t k = 0; k < x.size(); ++k) {
      x[k] = Cubic{first_[k], first_rate_[k], last_[k], last_rate_[k], h}.at(u);
    }
  }
  const State& first() const { return first_; }
  const State& last() const { return last_; }
  const State& first_rate() const { return first_rate_; }
  const State& last_rate() const { return last_rate_; }

 private:
  double begin_, end_;
  const State &first_, &first_rate_, &last_, &last_rate_;
};

class StepSink {
 public:
  virtual ~StepSink() = default;
  virtual void take(const Step& step) = 0;
};

/// A system of ordinary differential equations, x' = f(x), with events.
template <class S>
concept Solvable = requires(S& system, const State& x, State& out, const Step& step, double number,
                            double* g) {
  /// The most usual size of a state.
  { S::usual_size } -> std::convertible_to<std::size_t>;
  /// f(x); what belongs to it stays with the system as that place's.
  system.rates(x, out, Place::inside);
  /// The end of a step that is accepted becomes the next one's begin.
  system.accept();
  /// Makes ready to solve with shift I - J, J the Jacobian at the begin; solve: b becomes y of
  /// (shift I - J) y = b.
  system.factor(x, number);
  system.solve(out);
  /// Puts right in the state at a step's end what the system knows better than the step, and gives the rates
  /// there as the next step needs them (the step itself keeps its own); returns how wrong the state was, 1
  /// being what is permitted.
  { system.put_right(step, out, out) } -> std::same_as<double>;
  /// Event k happens when g[k] becomes positive. Smooth between events: modes change only when an event has
  /// ended the run.
  { system.event_count() } -> std::same_as<std::size_t>;
  system.events(x, g, Place::inside);
  /// Whether the run may end early after a step, because another system takes over.
  { system.settled(x) } -> std::same_as<bool>;
  /// For messages when the run cannot go on.
  { system.describe(x) } -> std::same_as<std::string>;
};

enum class Ended { time, event, settled };

/// RODAS, a linearly implicit Runge–Kutta method of order 4 with an embedded one of order 3 for error
/// control, L-stable, so that quick decay costs no steps (E. Hairer, G. Wanner, Solving Ordinary Differential
/// Equations II, section IV.7; coefficients from memory, checked by the order they give). In the variables
/// that need no product with J: (1 / (gamma h) - J) u_i = f(x + sum a_ij u_j) + sum c_ij u_j / h.
struct Rodas {
  static constexpr std::size_t stages = 6;
  static constexpr double per_gamma = 4;
  /// Of stages 2 to 5; stage 6 begins at stage 5 with all of u_5 added, the end is that with all of u_6
  /// added, and u_6 is the difference to the embedded method.
  static constexpr double a[stages - 1][4] = {
      {},
      {1.544},
      {0.9466785280815826, 0.2557011698983284},
      {3.314825187068521, 2.896124015972201, 0.9986419139977817},
      {1.221224509226641, 6.019134481288629, 12.53708332932087, -0.6878860361058950},
  };
  static constexpr double c[stages][5] = {
      {},
      {-5.6688},
      {-2.430093356833875, -0.2063599157091915},
      {-0.1073529058151375, -9.594562251023355, -20.47028614809616},
      {7.496443313967647, -10.24680431464352, -33.99990352819905, 11.70890893206160},
      {8.083246795921522, -7.981132988064893, -31.52159432874371, 16.31930543123136, -6.058818238834054},
  };
};

/// Throws base::StudyError: where and in which state a study cannot go on.
[[noreturn]] void cannot_go_on(double t, const std::string& state);
/// Throws base::BudgetError: a stretch at standstill has taken all the steps that it may.
[[noreturn]] void over_budget(double t, std::size_t steps, const std::string& state);

/// Runs a system forward by Rodas. Between its ends a step is the cubic through both states and rates; events
/// are sought at step ends and located on that cubic to rounding. Its functions are in solver_run.h, which
/// only those need who make one for a system of their own.
template <class System>
class Solver {
 public:
  /// tolerance: permitted error of a step, in the unit of the state.
  /// most_steps: of one run.
  explicit Solver(double tolerance, std::size_t most_steps = Budget().stand_steps)
      : tolerance_(tolerance), most_steps_(most_steps) {
    static_assert(Solvable<System>);
  }

  /// Advances x from t to at most t_end; t and x are where the run ended, just past the event when one ended
  /// it. first_step: a guess, s. Throws base::StudyError when no step size is small enough or the run takes
  /// more steps than any lawful study needs.
  Ended run(System& system, State& x, double& t, double t_end, double first_step, StepSink& sink);

  /// A good first_step for a run that begins like the last, s.
  double first_step() const { return first_step_; }
  /// How many the last run has tried.
  std::size_t steps() const { return steps_; }

 private:
  static constexpr double shortest_step = 1e-13;  // s
  static constexpr double refused = 1e30;         // error of a step that ends in no number

  void resize(std::size_t size, std::size_t events);
  double trial(System& system, const State& x, double t, double h);
  double advance(System& system, const State& x, double h);
  template <std::size_t i, class Size>
  void stage(System& system, const State& x, double per_h, Size size);
  /// Time of the first event inside the step, if any; what events() gives at the step's end is in g_end_.
  double first_event(System& system, const Step& step);
  double locate(System& system, const Step& step, std::size_t event, double high, double g_high);

  double tolerance_;
  std::size_t most_steps_, steps_ = 0;
  double first_step_ = 0;
  State rate_, end_, end_rate_, next_rate_, probe_;
  std::array<State, Rodas::stages> u_;
  std::vector<double> g_begin_, g_end_, g_probe_;
};

}  // namespace latchwright::sim
