// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/solver_run.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

#include "base/failure.h"

using namespace latchwright;

namespace {

/// x' = -x, with an event when x falls below a level and an end when it falls below another.
class Decay final {
 public:
  static constexpr std::size_t usual_size = 1;
  double level = -1, enough = -1, breaks_below = -1;
  void rates(const sim::State& x, sim::State& dxdt, sim::Place) {
    dxdt[0] = x[0] < breaks_below ? std::numeric_limits<double>::quiet_NaN() : -x[0];
  }
  void accept() {}
  void factor(const sim::State&, double shift) { inverse_ = 1 / (shift + 1); }
  void solve(sim::State& b) const { b[0] *= inverse_; }
  double put_right(const sim::Step& step, sim::State&, sim::State& next_rate) {
    next_rate = step.last_rate();
    return 0;
  }
  std::size_t event_count() const { return 1; }
  void events(const sim::State& x, double* g, sim::Place) { g[0] = level - x[0]; }
  bool settled(const sim::State& x) { return x[0] < enough; }
  std::string describe(const sim::State&) const { return "tailgate decaying"; }

 private:
  double inverse_ = 0;
};

class LastEnd final : public sim::StepSink {
 public:
  double end = 0;
  bool gapless = true;
  void take(const sim::Step& step) override {
    gapless = gapless && step.begin() == end;
    end = step.end();
  }
};

}  // namespace

TEST_CASE("the solver meets a closed form and gives every step once", "[sim]") {
  Decay system;
  sim::Solver<Decay> solver(1e-9);
  sim::State x{1.0};
  double t = 0;
  LastEnd sink;
  CHECK(solver.run(system, x, t, 3.0, 1e-3, sink) == sim::Ended::time);
  CHECK(t == 3.0);
  CHECK(x[0] == Approx(std::exp(-3.0)).epsilon(1e-7));
  CHECK(sink.gapless);
  CHECK(sink.end == 3.0);
}

TEST_CASE("an event is found to rounding, just past it", "[sim]") {
  Decay system;
  system.level = 0.5;
  sim::Solver<Decay> solver(1e-9);
  sim::State x{1.0};
  double t = 0;
  LastEnd sink;
  CHECK(solver.run(system, x, t, 3.0, 1e-3, sink) == sim::Ended::event);
  CHECK(t == Approx(std::log(2.0)).epsilon(1e-8));
  CHECK(x[0] <= 0.5);
  CHECK(sink.end == t);
}

TEST_CASE("a run hands over when the system says it has settled", "[sim]") {
  Decay system;
  system.enough = 0.2;
  sim::Solver<Decay> solver(1e-9);
  sim::State x{1.0};
  double t = 0;
  LastEnd sink;
  CHECK(solver.run(system, x, t, 30.0, 1e-3, sink) == sim::Ended::settled);
  CHECK(x[0] < 0.2);
}

TEST_CASE("a study that cannot go on says where and in which state", "[sim]") {
  Decay system;
  system.breaks_below = 0.5;
  sim::Solver<Decay> solver(1e-9);
  sim::State x{1.0};
  double t = 0;
  LastEnd sink;
  CHECK_THROWS_WITH(
      solver.run(system, x, t, 3.0, 1e-3, sink),
      Catch::Contains("the study cannot go on at t = 0.6") && Catch::Contains("tailgate decaying"));
  double again = 0;
  sim::State y{1.0};
  CHECK_THROWS_AS(solver.run(system, y, again, 3.0, 1e-3, sink), base::StudyError);
}
