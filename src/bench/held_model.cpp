// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/held_model.h"

#include <ceres/jet.h>

#include <algorithm>
#include <cmath>

#include "physics/copper.h"

namespace latchwright::bench {

namespace {

using Jet = ceres::Jet<double, static_cast<int>(held_parameters)>;

double plain(double x) { return x; }
double plain(const Jet& x) { return x.a; }

double curve_at(const physics::RatioCurve& curve, double T_C) { return curve.log_ratio(T_C).value; }
Jet curve_at(const physics::RatioCurve& curve, const Jet& T_C) {
  const auto g = curve.log_ratio(T_C.a);
  return Jet(g.value, g.slope * T_C.v);
}

// Error of one step, K, and the longest step. The current bends with a thermistor by 0.5 /K at most, so a
// trip is followed within some 0.1 % of the current.
constexpr double step_error_K = 2e-4;
constexpr double longest_step_s = 2.0;

}  // namespace

/// One pass through a log: T is double, or carries derivatives. Steps follow the values alone, so the
/// derivatives are those of the very sums that make the values.
template <class T>
class HeldRun {
 public:
  HeldRun(const HeldModel& model, const std::array<T, held_parameters>& p)
      : model_(model), shift_(p[curve_shift]) {
    using std::exp;
    const model::Motor& motor = model.like_.motor;
    const model::Thermal& thermal = model.like_.thermal;
    const model::Ptc& ptc_part = model.like_.ptc;
    motor_ohm_ = motor.resistance * exp(p[motor_ohm]);
    ptc_ohm_ = ptc_part.resistance * exp(p[ptc_ohm] - curve_at(model.curve_, 25.0 - shift_));
    split_ = thermal.copper_J_per_K.has_value();
    const T winding = exp(p[winding_heat]);
    const double copper = split_ ? *thermal.copper_J_per_K : thermal.winding_J_per_K;
    per_capacity_[physics::winding] = 1.0 / (copper * winding);
    per_capacity_[physics::core] = split_ ? T(1.0) / ((thermal.winding_J_per_K - copper) * winding) : T(0.0);
    per_capacity_[physics::motor_case] = T(1 / thermal.case_J_per_K);
    per_capacity_[physics::ptc] = 1.0 / (ptc_part.heat_J_per_K * exp(p[ptc_heat]));
    per_capacity_[physics::housing] = T(1 / thermal.housing_J_per_K);
    ptc_to_housing_ = ptc_part.to_housing_W_per_K * exp(p[ptc_loss]);
    if (split_) copper_to_core_ = 1 / *thermal.copper_to_core_K_per_W;
    armature_to_case_ = 1 / thermal.winding_to_case_K_per_W;
    case_to_housing_ = 1 / thermal.case_to_housing_K_per_W;
    to_ambient_ = 1 / thermal.housing_to_ambient_K_per_W;
    brush_drop_ = motor.brush_drop;
    for (T& node : at_) node = T(model.ambient_C_);
  }

  T ohms() const { return ohms_at(at_); }
  /// docs/model.md (8.4).
  T current(double volts) const { return volts > brush_drop_ ? (volts - brush_drop_) / ohms() : T(0.0); }
  const T& case_C() const { return at_[physics::motor_case]; }

  /// `seconds` on, the voltage going straight from one value to the other.
  void go(const T& seconds, double from_V, double to_V) {
    const double whole = plain(seconds);
    if (!(whole > 0)) return;
    double done = 0;  // share of the whole
    while (done < 1) {
      double share = std::min({1 - done, next_step_s_ / whole, longest_step_s / whole});
      for (;;) {
        const double error =
            step(seconds * share, from_V + done * (to_V - from_V), from_V + (done + share) * (to_V - from_V));
        const double factor = std::clamp(0.85 * std::cbrt(step_error_K / std::max(error, 1e-12)), 0.2, 4.0);
        const double taken = share * whole;
        if (error <= step_error_K || taken < 1e-6) {
          // A step cut short by a sample leaves the guess of the next one's length as it was.
          next_step_s_ =
              taken < 0.999 * next_step_s_ ? std::max(next_step_s_, taken * factor) : taken * factor;
          break;
        }
        share *= factor;
        next_step_s_ = share * whole;
      }
      at_ = next_;
      done = done + share > 1 - 1e-12 ? 1 : done + share;
    }
  }

 private:
  using Nodes = std::array<T, physics::heat_nodes>;

  T ohms_at(const Nodes& at) const {
    using std::exp;
    return motor_ohm_ * (1.0 + physics::copper_a25 * (at[physics::winding] - 25.0)) +
           ptc_ohm_ * exp(curve_at(model_.curve_, at[physics::ptc] - shift_));
  }

  void rates(const Nodes& at, double volts, Nodes& out) const {
    using namespace physics;
    using std::exp;
    const double conducts = volts > brush_drop_ ? volts - brush_drop_ : 0.0;
    const T ptc_now = ptc_ohm_ * exp(curve_at(model_.curve_, at[ptc] - shift_));
    const T motor_now = motor_ohm_ * (1.0 + copper_a25 * (at[winding] - 25.0));
    const T i = conducts / (ptc_now + motor_now);
    const T i2 = i * i;
    T from_winding, from_armature;
    if (split_) {
      from_winding = copper_to_core_ * (at[winding] - at[core]);
      from_armature = armature_to_case_ * (at[core] - at[motor_case]);
      out[core] = (from_winding - from_armature) * per_capacity_[core];
    } else {
      from_winding = from_armature = armature_to_case_ * (at[winding] - at[motor_case]);
      out[core] = T(0.0);
    }
    const T from_case = case_to_housing_ * (at[motor_case] - at[housing]);
    const T ptc_housing = ptc_to_housing_ * (at[ptc] - at[housing]);
    const T ptc_case = model_.like_.ptc.to_case_W_per_K * (at[ptc] - at[motor_case]);
    out[winding] = (motor_now * i2 - from_winding) * per_capacity_[winding];
    out[motor_case] = (brush_drop_ * i + from_armature - from_case + ptc_case) * per_capacity_[motor_case];
    out[ptc] = (ptc_now * i2 - ptc_housing - ptc_case) * per_capacity_[ptc];
    out[housing] =
        (from_case + ptc_housing - to_ambient_ * (at[housing] - model_.ambient_C_)) * per_capacity_[housing];
  }

  /// Bogacki and Shampine's pair of orders 3 and 2; the result is in next_, the error in K is returned.
  double step(const T& h, double from_V, double to_V) {
    const double rise = to_V - from_V;
    Nodes k1, k2, k3, k4, there;
    rates(at_, from_V, k1);
    for (std::size_t n = 0; n < at_.size(); ++n) there[n] = at_[n] + h * k1[n] * 0.5;
    rates(there, from_V + 0.5 * rise, k2);
    for (std::size_t n = 0; n < at_.size(); ++n) there[n] = at_[n] + h * k2[n] * 0.75;
    rates(there, from_V + 0.75 * rise, k3);
    for (std::size_t n = 0; n < at_.size(); ++n) {
      next_[n] = at_[n] + h * (k1[n] * (2.0 / 9) + k2[n] * (1.0 / 3) + k3[n] * (4.0 / 9));
    }
    rates(next_, to_V, k4);
    double error = 0;
    for (std::size_t n = 0; n < at_.size(); ++n) {
      const double off =
          plain(h) * (plain(k1[n]) * (-5.0 / 72) + plain(k2[n]) / 12 + plain(k3[n]) / 9 - plain(k4[n]) / 8);
      error = std::max(error, std::isfinite(off) ? std::fabs(off) : 1e9);
    }
    return error;
  }

  const HeldModel& model_;
  T shift_, motor_ohm_, ptc_ohm_, ptc_to_housing_;
  std::array<T, physics::heat_nodes> per_capacity_;
  bool split_ = false;
  double copper_to_core_ = 0, armature_to_case_ = 0, case_to_housing_ = 0, to_ambient_ = 0, brush_drop_ = 0;
  Nodes at_, next_;
  double next_step_s_ = 0.01;
};

namespace {

/// Time with power on that heats, after a moment at which it does not yet.
template <class T>
class Late {
 public:
  explicit Late(HeldRun<T>& run) : run_(run) {}
  void by(const T& seconds) { owed_ = seconds; }
  void go(const T& seconds, double from_V, double to_V) {
    if (plain(seconds) <= plain(owed_)) {
      owed_ = owed_ - seconds;
      return;
    }
    run_.go(seconds - owed_, from_V, to_V);
    owed_ = T(0.0);
  }

 private:
  HeldRun<T>& run_;
  T owed_ = T(0.0);
};

template <class T, class Take>
void run_log(HeldRun<T>& run, const ReducedLog& log, const std::array<T, held_parameters>& p,
             const Take& take) {
  // Before the power nothing happens; it comes on at once. Inside a bin the voltage holds.
  bool started = false;
  Late<T> late(run);
  for (std::size_t k = 0; k < log.bins.size(); ++k) {
    const Bin& bin = log.bins[k];
    const double begin_s = bin.time_s - bin.half_width_s;
    if (!started && !bin.on) {
      take(k, T(0.0), run.case_C());
      continue;
    }
    if (!started) {
      started = true;
      late.by(p[power_on] - begin_s);
      late.go(T(0.0), bin.voltage_V, bin.voltage_V);
    } else {
      const Bin& before = log.bins[k - 1];
      const double seconds = begin_s - (before.time_s + before.half_width_s);
      if (before.on == bin.on) {
        late.go(T(seconds), before.voltage_V, bin.voltage_V);
      } else if (before.on) {
        late.go(T(0.5 * seconds), before.voltage_V, before.voltage_V);
        run.go(T(0.5 * seconds), bin.voltage_V, bin.voltage_V);
      } else {
        run.go(T(0.5 * seconds), before.voltage_V, before.voltage_V);
        late.by(p[power_again]);
        late.go(T(0.5 * seconds), bin.voltage_V, bin.voltage_V);
      }
    }
    if (bin.half_width_s > 0) {
      const T first = run.current(bin.voltage_V);
      late.go(T(bin.half_width_s), bin.voltage_V, bin.voltage_V);
      const T middle = run.current(bin.voltage_V);
      // NOLINTNEXTLINE(performance-unnecessary-copy-initialization): what follows may move it on.
      const T case_C = run.case_C();
      late.go(T(bin.half_width_s), bin.voltage_V, bin.voltage_V);
      const T edges = first + run.current(bin.voltage_V);
      take(k, (1 - 2 * bin.edge_share) * middle + bin.edge_share * edges, case_C);
    } else {
      take(k, run.current(bin.voltage_V), run.case_C());
    }
  }
}

HeldValues slopes_of(const Jet& jet) {
  HeldValues out;
  for (std::size_t k = 0; k < out.size(); ++k) out[k] = jet.v[static_cast<Eigen::Index>(k)];
  return out;
}

std::array<Jet, held_parameters> jets_of(const HeldValues& values) {
  std::array<Jet, held_parameters> p;
  for (std::size_t k = 0; k < p.size(); ++k) p[k] = Jet(values[k], static_cast<int>(k));
  return p;
}

}  // namespace

HeldModel::HeldModel(const model::Actuator& like, const model::PtcCurve& curve, double ambient_C)
    : like_(like), curve_points_(curve), curve_(curve), ambient_C_(ambient_C) {}

HeldCurrents HeldModel::currents(const ReducedLog& log, const HeldValues& values, bool slopes) const {
  HeldCurrents out;
  if (!slopes) {
    HeldRun<double> run(*this, values);
    run_log(run, log, values, [&out](std::size_t, double current, double case_C) {
      out.current_A.push_back(current);
      out.case_C.push_back(case_C);
    });
    return out;
  }
  const auto p = jets_of(values);
  HeldRun<Jet> run(*this, p);
  run_log(run, log, p, [&out](std::size_t, const Jet& current, const Jet& case_C) {
    out.current_A.push_back(current.a);
    out.case_C.push_back(case_C.a);
    out.current_slopes.push_back(slopes_of(current));
    out.case_slopes.push_back(slopes_of(case_C));
  });
  return out;
}

double HeldModel::cold_ohm(const HeldValues& values, HeldValues* slopes) const {
  if (slopes == nullptr) return HeldRun<double>(*this, values).ohms();
  const Jet ohms = HeldRun<Jet>(*this, jets_of(values)).ohms();
  *slopes = slopes_of(ohms);
  return ohms.a;
}

model::Actuator HeldModel::part(const HeldValues& values) const {
  model::Actuator part = like_;
  part.motor.resistance *= std::exp(values[motor_ohm]);
  part.ptc.resistance *= std::exp(values[ptc_ohm]);
  part.ptc.heat_J_per_K *= std::exp(values[ptc_heat]);
  part.ptc.to_housing_W_per_K *= std::exp(values[ptc_loss]);
  part.thermal.winding_J_per_K *= std::exp(values[winding_heat]);
  if (part.thermal.copper_J_per_K) *part.thermal.copper_J_per_K *= std::exp(values[winding_heat]);
  model::PtcCurve shifted = curve_points_;
  const double at_25 = curve_.ratio(25 - values[curve_shift]);
  for (double& T : shifted.T_C) T += values[curve_shift];
  for (double& ratio : shifted.ratio) ratio /= at_25;
  part.ptc.curve = std::move(shifted);
  return part;
}

}  // namespace latchwright::bench
