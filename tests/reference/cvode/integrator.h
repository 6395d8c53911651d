// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <memory>
#include <stdexcept>
#include <vector>

namespace latchwright::tests::cvode {

class Slopes;

/// CVODE's own dense matrices, or such that know how doors hang together.
enum class Linear { dense, blocks };

/// How CVODE is to work: the relative tolerance, and the absolute one of every component as
/// relative x scale x the component's usual size.
struct Tolerances {
  double relative = 1e-10;
  double scale = 1;
  Linear linear = Linear::blocks;
};

/// The usual sizes that absolute tolerances are counted in.
inline constexpr double usual_current = 1, usual_speed = 100, usual_angle = 10, usual_kelvin = 10;

/// Equations that are smooth between two restarts.
class System {
 public:
  virtual ~System() = default;
  virtual void rates(const double* y, double* dydt) = 0;
  /// d rate / d y; zero when handed over.
  virtual void slopes(const double* y, Slopes& out) = 0;
  /// Event functions; an event is one that falls through zero.
  virtual void events(const double* y, double* g);
};

/// CVODE failed: its own words.
struct SolverFailed : std::runtime_error {
  using std::runtime_error::runtime_error;
};

/// One CVODE object for one system: BDF, Newton, direct linear solver, the system's own Jacobian.
class Integrator {
 public:
  /// usual_sizes: of one door's states.
  Integrator(System& system, std::size_t doors, const std::vector<double>& usual_sizes,
             std::size_t event_count, const Tolerances& tolerances);
  ~Integrator();
  Integrator(const Integrator&) = delete;
  Integrator& operator=(const Integrator&) = delete;

  /// State at time(); to be written before restart() only.
  double* state();
  double time() const;
  /// From the state as it stands. `watch`: look for events.
  void restart(double t, bool watch = true);
  enum class Step { on, event, end };
  /// One step of CVODE's own choice, never beyond `end`.
  Step step(double end);
  /// State at a time within the last step, by CVODE's own interpolation.
  void between(double t, double* y);
  /// 1 for each event function that ended the last step.
  const std::vector<int>& found() const;
  System& system() const;
  std::size_t size() const;

 private:
  struct Inside;
  std::unique_ptr<Inside> in_;
};

}  // namespace latchwright::tests::cvode
