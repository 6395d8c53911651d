// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/fit_drive.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/failure.h"
#include "base/text.h"
#include "bench/held_residuals.h"
#include "bench/least_squares.h"
#include "physics/motor.h"
#include "sim/circuit.h"
#include "sim/cycle.h"

namespace latchwright::bench {

namespace {

constexpr double run_up_s = 0.3;      // before a free motor runs steadily
constexpr double force_share = 0.05;  // standard deviation of a spring scale read at a jerking rod
constexpr double throw_share = 0.05;  // and of a throw's time
constexpr double shortest_throw_sd = 0.004;
constexpr double longest_throw_s = 10;
constexpr double difference_share = 0.01;
constexpr std::array<double, drive_parameters> kept_drive_sd{0.25, 0.4, 0.2};
constexpr double largest_drive_error = 0.3;

/// What scale and watch would have read of this actuator; 0 where they read nothing.
struct Foretold {
  double force_N = 0, throw_s = 0;
};

Foretold read_of(const model::Actuator& actuator, const model::PtcCurve& curve,
                 const DriveReadings& readings) {
  Foretold foretold;
  const sim::Circuit circuit = sim::make_bench_circuit(
      actuator, curve, {.voltage_V = readings.voltage_V, .ambient_C = readings.ambient_C});
  if (readings.force_N) {
    physics::Temperatures T;
    T.fill(readings.ambient_C);
    foretold.force_N = sim::standstill_force(circuit.doors[0], sim::ambient_stall_currents(circuit)[0], T);
  }
  if (readings.throw_s)
    foretold.throw_s = sim::single_throw(circuit, longest_throw_s, false)[0].value_or(longest_throw_s);
  return foretold;
}

double throw_sd(const DriveReadings& readings) {
  return std::max(shortest_throw_sd, throw_share * *readings.throw_s);
}

class DriveResiduals {
 public:
  DriveResiduals(const model::Actuator& actuator, const model::PtcCurve& curve, const DriveReadings& readings)
      : actuator_(actuator), curve_(curve), readings_(readings) {
    for (std::size_t l = 0; l < readings.free.size(); ++l) {
      for (std::size_t b = 0; b < readings.free[l].bins.size(); ++b) {
        const Bin& bin = readings.free[l].bins[b];
        if (bin.on && bin.weight > 0 && bin.time_s > run_up_s) rows_.push_back({l, b});
      }
      sigma_A_.push_back(readings.free[l].noise_A);
    }
  }

  std::size_t parameters() const { return drive_parameters + readings_.free.size(); }
  std::size_t size() const {
    return rows_.size() + readings_.free.size() + (readings_.force_N ? 1 : 0) + (readings_.throw_s ? 1 : 0);
  }

  /// p: ratios, then 1 A + the zero of each clamp: steps of differences are shares of a parameter.
  bool evaluate(const Eigen::VectorXd& p, Eigen::VectorXd& r) const {
    const model::Actuator now = with_ratios(actuator_, {p[torque_constant], p[friction], p[efficiency]});
    r.setZero(static_cast<Eigen::Index>(size()));
    Eigen::Index row = 0;
    for (const auto& [l, b] : rows_) {
      const Bin& bin = readings_.free[l].bins[b];
      const double runs = free_current(now, bin.voltage_V, readings_.ambient_C);
      r[row++] = (runs + zero(p, l) - bin.current_A) * std::sqrt(bin.weight) / sigma_A_[l];
    }
    for (std::size_t l = 0; l < readings_.free.size(); ++l) {
      const auto [zero_A, sd] = known_zero(readings_.free[l]);
      r[row++] = (zero(p, l) - zero_A) / sd;
    }
    if (!readings_.force_N && !readings_.throw_s) return true;
    const Foretold foretold = read_of(now, curve_, readings_);
    if (readings_.force_N)
      r[row++] = (foretold.force_N - *readings_.force_N) / (force_share * *readings_.force_N);
    if (readings_.throw_s) r[row++] = (foretold.throw_s - *readings_.throw_s) / throw_sd(readings_);
    return true;
  }

  /// Standard deviation of each log's samples from what is left over, neighbours together.
  void set_noise(const Eigen::VectorXd& p) {
    Eigen::VectorXd r;
    evaluate(p, r);
    for (std::size_t l = 0; l < sigma_A_.size(); ++l) {
      double squares = 0, products = 0, count = 0, before = 0;
      for (std::size_t k = 0; k < rows_.size(); ++k) {
        if (rows_[k].first != l) continue;
        const double off = r[static_cast<Eigen::Index>(k)];
        squares += off * off;
        products += off * before;
        before = off;
        count += 1;
      }
      if (count < 6) continue;
      const double rho = squares > 0 ? std::clamp(products / squares, 0.0, 0.98) : 0.0;
      sigma_A_[l] = std::max(sigma_A_[l] * std::sqrt(squares / (count - 2) * (1 + rho) / (1 - rho)), 1e-5);
    }
  }

  static double zero(const Eigen::VectorXd& p, std::size_t log) {
    return p[static_cast<Eigen::Index>(drive_parameters + log)] - 1;
  }

 private:
  const model::Actuator& actuator_;
  const model::PtcCurve& curve_;
  const DriveReadings& readings_;
  std::vector<std::pair<std::size_t, std::size_t>> rows_;  // log, bin
  std::vector<double> sigma_A_;
};

/// A throw takes as long with a weak motor as with a slow one: of minima as good as each other, the torque
/// constant nearest the like part's.
Eigen::VectorXd nearest_minimum(LeastSquares problem) {
  constexpr double as_good = 0.5;  // difference of sums of squares, in variances
  const bool sought = problem.low[torque_constant] < problem.high[torque_constant];
  const Eigen::VectorXd start = problem.start;
  std::optional<Minimum> best;
  for (const double factor : {1.0, 0.75, 1.35}) {
    if (factor != 1.0 && !sought) break;
    problem.start = start;
    problem.start[torque_constant] *= factor;
    problem.start = problem.start.cwiseMax(problem.low).cwiseMin(problem.high);
    const Minimum one = minimise(problem);
    if (!one.usable) continue;
    const auto away = [](const Minimum& m) { return std::fabs(std::log(m.p[torque_constant])); };
    const bool better =
        !best || one.sum_of_squares < best->sum_of_squares - as_good ||
        (one.sum_of_squares < best->sum_of_squares + as_good && away(one) < away(*best) - 1e-6);
    if (better) best = one;
  }
  return best ? best->p : start;
}

}  // namespace

model::Actuator with_ratios(model::Actuator actuator, const std::array<double, drive_parameters>& ratio) {
  actuator.motor.torque_constant *= ratio[torque_constant];
  actuator.motor.friction *= ratio[friction];
  actuator.drive.efficiency *= ratio[efficiency];
  return actuator;
}

// docs/model.md (8.5)
double free_current(const model::Actuator& actuator, double voltage_V, double ambient_C) {
  const physics::MotorLaw motor(actuator.motor);
  const double K = motor.torque_constant(ambient_C);
  const double drive = std::max(0.0, voltage_V - motor.brush_drop);
  // The thermistor is a small part of a small loss here: its value at 25 °C serves.
  const double ohms = motor.winding_ohm(ambient_C) + actuator.ptc.resistance;
  const double runs =
      (motor.friction(ambient_C) + motor.viscous * drive / K) / (K + motor.viscous * ohms / K);
  return std::min(runs, drive / ohms);
}

namespace {

DriveFit fit_all(const model::Actuator& actuator, const model::PtcCurve& curve, const DriveReadings& readings,
                 base::Progress& progress) {
  DriveResiduals residuals(actuator, curve, readings);
  const auto n = static_cast<Eigen::Index>(residuals.parameters());
  LeastSquares problem;
  problem.residuals = residuals.size();
  problem.start = Eigen::VectorXd::Ones(n);
  problem.low = Eigen::VectorXd::Constant(n, -4);
  problem.high = Eigen::VectorXd::Constant(n, 6);
  problem.low.head(drive_parameters).setConstant(0.1);
  problem.high.head(drive_parameters).setConstant(8);
  problem.high[efficiency] = std::max(1.0, 0.999 / actuator.drive.efficiency);
  problem.iterations = 60;
  problem.tolerance = 1e-9;
  const auto keep = [&problem](DriveParameter k) { problem.low[k] = problem.high[k] = problem.start[k] = 1; };
  // Force tells efficiency times torque constant; only a throw's time tells the constant by itself.
  if (!readings.force_N && !readings.throw_s) keep(torque_constant);
  if (readings.free.empty()) keep(friction);
  if (!readings.force_N || !readings.throw_s) keep(efficiency);
  const auto plain = [&](const Eigen::VectorXd& p, Eigen::VectorXd& r) {
    return !progress.cancelled() && residuals.evaluate(p, r);
  };
  problem.function = [&](const Eigen::VectorXd& p, Eigen::VectorXd& r, Eigen::MatrixXd* jacobian) {
    if (jacobian != nullptr) *jacobian = central_differences(plain, p, problem.residuals, difference_share);
    return plain(p, r);
  };

  DriveFit fit;
  Eigen::VectorXd p = problem.start;
  for (std::size_t round = 0; round <= drive_parameters; ++round) {
    problem.start = p;
    for (int pass = 0; pass < 2; ++pass) {
      problem.start = nearest_minimum(problem);
      if (progress.cancelled()) throw base::Cancelled();
      residuals.set_noise(problem.start);
    }
    p = problem.start;
    const Eigen::MatrixXd jacobian = central_differences(plain, p, problem.residuals, difference_share);
    if (progress.cancelled()) throw base::Cancelled();
    base::require(jacobian.allFinite(), "the free run has its derivatives");
    Eigen::VectorXd information = Eigen::VectorXd::Zero(n);
    for (std::size_t k = 0; k < drive_parameters; ++k) {
      const auto at = static_cast<Eigen::Index>(k);
      const double sd = problem.low[at] == problem.high[at] ? kept_drive_sd[k] : 100 * kept_drive_sd[k];
      information[at] = 1 / (sd * sd);
    }
    const Eigen::MatrixXd spread = covariance(jacobian, information);
    fit.covariance = spread.topLeftCorner(drive_parameters, drive_parameters);
    std::optional<DriveParameter> worst;
    double most = largest_drive_error;
    for (std::size_t k = 0; k < drive_parameters; ++k) {
      const auto at = static_cast<Eigen::Index>(k);
      fit.identified[k] = problem.low[at] < problem.high[at];
      fit.standard_error[k] = std::sqrt(spread(at, at));
      if (!fit.identified[k]) continue;
      const bool bound = p[at] < problem.low[at] * 1.001 || p[at] > problem.high[at] * 0.999;
      const double error = bound ? 1000.0 : fit.standard_error[k] / p[at];
      if (error > most) {
        most = error;
        worst = static_cast<DriveParameter>(k);
      }
    }
    if (!worst) break;
    p[*worst] = 1;
    problem.start = p;
    keep(*worst);
  }
  for (std::size_t k = 0; k < drive_parameters; ++k) fit.ratio[k] = p[static_cast<Eigen::Index>(k)];
  for (std::size_t l = 0; l < readings.free.size(); ++l) fit.zero_A.push_back(DriveResiduals::zero(p, l));
  if (fit.identified[friction] && !fit.identified[torque_constant]) {
    fit.remarks.push_back(
        "friction goes with the torque constant, which is kept: without a speed the free run tells only "
        "their ratio; a throw's time or a force would tell more");
  }
  if (fit.identified[torque_constant] && !fit.identified[efficiency]) {
    fit.remarks.push_back(
        readings.throw_s ? "gears' efficiency: nothing read tells it; kept as in the part that it is like"
                         : "the force tells torque constant times efficiency; the efficiency is kept as in "
                           "the part that it is like");
  }
  if (readings.throw_s && fit.identified[torque_constant]) {
    fit.remarks.push_back(
        "a throw takes as long with a weak motor as with a slow one: the torque constant is the one nearer "
        "to the part that it is like");
  }
  return fit;
}

/// A reading by hand that the fitted actuator cannot give, or only with a torque constant of another motor's,
/// and what is said of it.
struct Contradiction {
  bool force = false, throws = false;
  std::string text;
};
Contradiction contradiction(const model::Actuator& actuator, const model::PtcCurve& curve,
                            const DriveReadings& readings, const DriveFit& fit) {
  constexpr double most_times = 2, contradicts = 2.5;  // torque constant; standard deviations
  if (!readings.force_N && !readings.throw_s) return {};
  const double K = fit.ratio[torque_constant];
  const bool other_motor = K > most_times || K < 1 / most_times;
  // Against the like part's drive where the fitted one is another motor's.
  const Foretold now = read_of(other_motor ? actuator : with_ratios(actuator, fit.ratio), curve, readings);
  const double force_off =
      readings.force_N ? std::fabs(now.force_N / *readings.force_N - 1) / force_share : 0;
  const double throw_off =
      readings.throw_s ? std::fabs(now.throw_s - *readings.throw_s) / throw_sd(readings) : 0;
  if (!other_motor && force_off < contradicts && throw_off < contradicts) return {};
  Contradiction out;
  if (readings.force_N && (!readings.throw_s || std::fabs(std::log(now.force_N / *readings.force_N)) >
                                                    std::fabs(std::log(now.throw_s / *readings.throw_s)))) {
    out.force = true;
    out.text = fmt::format(
        "force: {} N were read by hand, the model with the resistance from the logs gives {} N at {} V: they "
        "contradict "
        "each other, and the reading is left out. Was the scale on the rod itself and the rod held, at that "
        "voltage, is "
        "--like near what was measured?",
        base::significant(*readings.force_N), base::significant(now.force_N),
        base::significant(readings.voltage_V));
  } else {
    out.throws = true;
    out.text = fmt::format(
        "throw: {} s were read by hand, the model with the resistance from the logs gives {} at {} V: they "
        "contradict "
        "each other, and the reading is left out. Did the rod go its whole way with nothing on it, cold, is "
        "--like near "
        "what was measured?",
        base::significant(*readings.throw_s),
        now.throw_s < longest_throw_s ? base::significant(now.throw_s) + " s" : std::string("no whole throw"),
        base::significant(readings.voltage_V));
  }
  return out;
}

}  // namespace

DriveFit fit_drive(const model::Actuator& actuator, const model::PtcCurve& curve,
                   const DriveReadings& readings, base::Progress& progress) {
  DriveReadings left = readings;
  std::vector<std::string> contradictions;
  for (;;) {
    DriveFit fit = fit_all(actuator, curve, left, progress);
    Contradiction found = contradiction(actuator, curve, left, fit);
    if (!found.force && !found.throws) {
      fit.remarks.insert(fit.remarks.begin(), contradictions.begin(), contradictions.end());
      return fit;
    }
    contradictions.push_back(std::move(found.text));
    (found.force ? left.force_N : left.throw_s).reset();
  }
}

}  // namespace latchwright::bench
