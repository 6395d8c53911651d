// SPDX-License-Identifier: GPL-3.0-or-later
// The orders that the steppers claim, by steps of halved length: the solver of standing doors on a problem
// with a known solution, the step of moving doors against Boost.Odeint on the true rates.
#include <array>
#include <boost/numeric/odeint.hpp>
#include <catch2/catch.hpp>
#include <cmath>
#include <string>

#include "base/failure.h"
#include "sim/drive_step.h"
#include "sim/solver_run.h"
#include "support/studies.h"

using namespace latchwright;
using sim::slots;

namespace {

/// The problem of P. Kaps, x' = -(1/e + 2) x + y²/e, y' = x - y - y²: x = exp(-2 t), y = exp(-t) for any e,
/// and x the stiffer the smaller e (from memory; putting the solution in shows it).
class Kaps final {
 public:
  static constexpr std::size_t usual_size = 2;
  explicit Kaps(double e) : stiff_(1 / e) {}
  void rates(const sim::State& x, sim::State& dxdt, sim::Place) {
    dxdt[0] = -(stiff_ + 2) * x[0] + stiff_ * x[1] * x[1];
    dxdt[1] = x[0] - x[1] * (1 + x[1]);
  }
  void accept() {}
  void factor(const sim::State& x, double shift) {
    a_ = shift + stiff_ + 2;
    b_ = -2 * stiff_ * x[1];
    d_ = shift + 1 + 2 * x[1];
  }
  void solve(sim::State& b) const {  // (a b; -1 d)
    const double det = a_ * d_ + b_;
    b = {(b[0] * d_ - b_ * b[1]) / det, (a_ * b[1] + b[0]) / det};
  }
  double put_right(const sim::Step& step, sim::State&, sim::State& next_rate) {
    next_rate = step.last_rate();
    return 0;
  }
  std::size_t event_count() const { return 0; }
  void events(const sim::State&, double*, sim::Place) {}
  bool settled(const sim::State&) { return false; }
  std::string describe(const sim::State&) const { return "Kaps"; }

 private:
  double stiff_, a_ = 0, b_ = 0, d_ = 0;
};

class FirstStep final : public sim::StepSink {
 public:
  struct Taken {
    double end;
  };
  void take(const sim::Step& step) override { throw Taken{step.end()}; }
};

class Unseen final : public sim::StepSink {
 public:
  void take(const sim::Step&) override {}
};

/// Errors of x and y after one step of h from t = 0.
std::array<double, 2> step_error(double e, double h) {
  Kaps system(e);
  sim::Solver<Kaps> solver(1e9);  // any step will do
  sim::State x{1, 1};
  double t = 0;
  Unseen unseen;
  solver.run(system, x, t, h, h, unseen);
  return {std::fabs(x[0] - std::exp(-2 * h)), std::fabs(x[1] - std::exp(-h))};
}

/// What the solver takes the error of that step for: the smallest tolerance at which it accepts it.
double error_estimate(double e, double h) {
  const auto accepts = [&](double tolerance) {
    Kaps system(e);
    sim::Solver<Kaps> solver(tolerance);
    sim::State x{1, 1};
    double t = 0;
    FirstStep first;
    try {
      solver.run(system, x, t, h, h, first);
    } catch (const FirstStep::Taken& step) {
      return step.end == h;
    } catch (const base::StudyError&) {
    }
    return false;
  };
  double low = 1e-16, high = 1;
  REQUIRE(accepts(high));
  REQUIRE_FALSE(accepts(low));
  for (int n = 0; n < 30; ++n) {
    const double middle = std::sqrt(low * high);
    (accepts(middle) ? high : low) = middle;
  }
  return high;
}

double halvings(double first, double last) { return std::log2(first / last); }

/// One or two moving doors with hot thermistors, the first at 112 degC on a steep curve, in the middle of a
/// throw.
class Moving {
 public:
  Moving(int doors, const std::string& load, const std::string& inductance_mH, const std::string& ptc_J_per_K)
      : circuit(tests::worked_circuit({13.8, 30}, doors, changes(doors, load, inductance_mH, ptc_J_per_K))),
        drive(circuit),
        x(circuit.doors.size() * slots, 30) {
    drive.begin_pulse(false, x);
    for (std::size_t k = 0; k < circuit.doors.size(); ++k) {
      const double of = static_cast<double>(k);
      double* s = x.data() + k * slots;
      drive.take(k, sim::Drive::motion, x, 0.01);
      drive.take(k, sim::Drive::place, x, 0.02);
      const physics::Temperatures T{60, 45, 112 - 4 * of, 40, 0};
      std::copy(T.begin(), T.end(), s + sim::slot_temperature);
      s[sim::slot_current] = 2.2 - 0.3 * of;
      s[sim::slot_speed] = 400 + 30 * of;
      s[sim::slot_angle] += 0.004 / circuit.doors[k].rod_per_rad;
    }
  }

  /// The state after h by the true rates.
  sim::State after(double h) const {
    namespace odeint = boost::numeric::odeint;
    const auto rates = [this](const sim::State& y, sim::State& dydt, double) {
      sim::DrivePoint point;
      drive.at(y, point);
      for (std::size_t k = 0; k < circuit.doors.size(); ++k) {
        std::copy(point.doors[k].rate.begin(), point.doors[k].rate.end(),
                  dydt.begin() + static_cast<long>(k * slots));
      }
    };
    sim::State y = x;
    odeint::integrate_adaptive(
        odeint::make_controlled(1e-13, 1e-12, odeint::runge_kutta_dopri5<sim::State>()), rates, y, 0.0, h,
        0.02 * h);
    return y;
  }

  sim::Circuit circuit;
  sim::Drive drive;
  sim::State x;

 private:
  static tests::Changes changes(int doors, const std::string& load, const std::string& inductance_mH,
                                const std::string& ptc_J_per_K) {
    const std::string& part = tests::worked_actuator;
    // What drifts with case and housing is left to the step's error control.
    tests::Changes out = {{part + "/motor/magnet_drift_per_K", "0"},
                          {part + "/motor/inductance_mH", inductance_mH},
                          {part + "/ptc/heat_J_per_K", ptc_J_per_K}};
    for (int k = 0; k < doors; ++k) out.push_back({"/doors/" + std::to_string(k) + "/rod_force", load});
    return out;
  }
};

const char* const steady = R"({"shape": "steady", "peak_N": 22})";
const char* const over_centre = R"({"shape": "over_centre", "friction_N": 4, "peak_N": 60})";

struct Errors {
  std::array<double, slots> slot{};  // largest of all doors
  double fast = 0;                   // of currents and speeds, in the unit that the step judges them by
  double energy_J = 0;               // what the heat nodes hold too much, of all doors
  double reported = 0;               // by complete()
  double stall_W = 0;                // of all doors
};

Errors step_errors(const Moving& moving, double h) {
  sim::DriveStep step(moving.circuit, moving.drive);
  step.begin_pulse(1);
  step.begin(moving.x, 0.02);
  step.look(h);
  Errors out;
  out.reported = step.complete();
  const auto want = moving.after(h);
  const double V = moving.circuit.source_V;
  for (std::size_t k = 0; k < moving.circuit.doors.size(); ++k) {
    const auto& door = moving.circuit.doors[k];
    const double* s = want.data() + k * slots;
    const double ohm = step.begin_point().doors[k].ohms.path;
    std::array<double, slots> off{};
    for (std::size_t n = 0; n < slots; ++n) {
      off[n] = step.end()[k * slots + n] - s[n];
      out.slot[n] = std::max(out.slot[n], std::fabs(off[n]));
    }
    // A tenth of the stalled current and of the free speed beside the value itself, as in the step.
    out.fast = std::max(
        {out.fast, std::fabs(off[sim::slot_current]) / (s[sim::slot_current] + 0.1 * V / ohm),
         std::fabs(off[sim::slot_speed]) / (s[sim::slot_speed] + 0.1 * V / door.motor.torque_constant_25)});
    for (std::size_t n = 0; n < door.heat.size(); ++n) {
      out.energy_J += door.heat.capacity(static_cast<physics::HeatNode>(n)) * off[sim::slot_temperature + n];
    }
    out.stall_W += V * V / ohm;
  }
  return out;
}

/// Mean order of a slot over halvings of h from `first`, as far as steps are corrected (a correction that is
/// not worth it is left out, and errors rise again) and errors stand above rounding; two halvings at least.
double mean_order(const Moving& moving, std::size_t slot, double first) {
  const double floors[] = {1e-10, 1.5e-6, 1e-8, 2e-11, 2e-11, 2e-11, 2e-11, 0};  // A, rad/s, rad, K
  const double start = step_errors(moving, first).slot[slot];
  double end = start, count = 0;
  for (double h = 0.5 * first; count < 4; h *= 0.5) {
    const double error = step_errors(moving, h).slot[slot];
    if (error < floors[slot] || error > 0.5 * end) break;
    end = error;
    ++count;
  }
  REQUIRE(count >= 2);
  return halvings(start, end) / count;
}

}  // namespace

TEST_CASE("order: a step of the solver is wrong by the fifth power of its length", "[sim]") {
  for (double h = 0.05; h > 0.01; h *= 0.5) {
    CAPTURE(h);
    const auto longer = step_error(1, h), shorter = step_error(1, 0.5 * h);
    CHECK(halvings(longer[0], shorter[0]) == Approx(5).margin(0.25));
    CHECK(halvings(longer[1], shorter[1]) == Approx(5).margin(0.25));
    CHECK(halvings(error_estimate(1, h), error_estimate(1, 0.5 * h)) == Approx(4).margin(0.25));
  }
}

TEST_CASE("order: stiffness costs the solver no order", "[sim]") {
  // x follows y within ten nanoseconds, far inside every step.
  constexpr double stiff = 1e-8;
  for (double h = 0.2; h > 0.04; h *= 0.5) {
    CAPTURE(h);
    const auto longer = step_error(stiff, h), shorter = step_error(stiff, 0.5 * h);
    CHECK(halvings(longer[0], shorter[0]) > 4);
    CHECK(halvings(longer[1], shorter[1]) == Approx(5).margin(0.25));
    CHECK(halvings(error_estimate(stiff, h), error_estimate(stiff, 0.5 * h)) > 3.5);
  }
}

TEST_CASE("order: a step of moving doors, shorter than its time constants", "[sim]") {
  struct Row {
    int doors;
    const char* load;
  };
  for (const Row& row : {Row{1, steady}, Row{1, over_centre}, Row{2, over_centre}}) {
    CAPTURE(row.doors, row.load);
    const Moving moving(row.doors, row.load, "60", "0.1");  // L/R about 12 ms
    CHECK(mean_order(moving, sim::slot_current, 16e-3) > 3);
    CHECK(mean_order(moving, sim::slot_speed, 16e-3) > 3);
    CHECK(mean_order(moving, sim::slot_angle, 32e-3) > 3.4);
    CHECK(mean_order(moving, sim::slot_temperature + physics::winding, 16e-3) > 2.6);
    CHECK(mean_order(moving, sim::slot_temperature + physics::motor_case, 16e-3) > 2.6);
    CHECK(mean_order(moving, sim::slot_temperature + physics::ptc, 16e-3) > 2.6);
    CHECK(mean_order(moving, sim::slot_temperature + physics::housing, 16e-3) > 2.6);
  }
}

TEST_CASE("order: a step of moving doors, many times longer than L over R", "[sim]") {
  for (const int doors : {1, 2}) {
    CAPTURE(doors);
    Moving moving(doors, steady, "1.2", "0.6");
    moving.x = moving.after(5e-3);  // 20 L/R: the electrical transient is over
    CHECK(mean_order(moving, sim::slot_speed, 16e-3) > 3.6);
    CHECK(mean_order(moving, sim::slot_angle, 16e-3) > 3.6);
    for (const auto node : {physics::winding, physics::motor_case, physics::ptc, physics::housing}) {
      CHECK(mean_order(moving, sim::slot_temperature + node, 16e-3) > 2.6);
    }
    // The current follows speed and resistance so closely that one halving is all there is above rounding.
    const auto current_error = [&](double h) { return step_errors(moving, h).slot[sim::slot_current]; };
    CHECK(halvings(current_error(16e-3), current_error(8e-3)) > 2.7);
  }
}

TEST_CASE("order: a moving step is no more wrong than it says", "[sim]") {
  // What complete() counts in: 3e-4 of currents and speeds, 1e-6 of the energy that a stall takes in the
  // pulse. A step that it refuses may be as wrong as it likes.
  constexpr double permitted_fast = 3e-4, permitted_energy = 1e-6, on_s = 1;
  int refused = 0, taken = 0;
  for (const char* inductance : {"1.2", "20", "60"}) {
    for (const char* load : {steady, over_centre}) {
      for (const bool after_transient : {false, true}) {
        Moving moving(2, load, inductance, "0.2");
        if (after_transient) moving.x = moving.after(5e-3);
        for (double h = 16e-3; h > 1e-4; h *= 0.5) {
          CAPTURE(inductance, load, after_transient, h);
          const Errors errors = step_errors(moving, h);
          ++(errors.reported > 1 ? refused : taken);
          if (errors.reported > 1) continue;
          // Below some millionths of the voltage nothing is corrected, and nothing reported.
          CHECK(errors.fast < permitted_fast * errors.reported + 5e-6);
          CHECK(std::fabs(errors.energy_J) <
                permitted_energy * on_s * errors.stall_W * (errors.reported + 0.01));
        }
      }
    }
  }
  CHECK(refused > 10);
  CHECK(taken > 10);
}
