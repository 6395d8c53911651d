// SPDX-License-Identifier: GPL-3.0-or-later
#include "sim/standstill.h"

#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>

namespace latchwright::sim {

using physics::heat_nodes;

namespace {

/// The nodes that every door has; a core of its own comes after them.
constexpr std::size_t common = heat_nodes - 1;
using Common = Eigen::Matrix<double, common, common, Eigen::RowMajor>;

/// Puts the inverse of a in place of it, row by row in, column by column out. Four nodes are inverted whole,
/// which is quick; a core, whose diagonal leads its row, is taken out before and put back after.
template <class Block>
void invert(std::size_t size, Block& a) {
  Common x;
  for (std::size_t row = 0; row < common; ++row) {
    for (std::size_t column = 0; column < common; ++column) x(row, column) = a[row][column];
  }
  if (size == common) {
    x = x.inverse().eval();
  } else {
    Eigen::Matrix<double, common, 1> down;
    Eigen::Matrix<double, 1, common> across;
    for (std::size_t n = 0; n < common; ++n) {
      down(n) = a[n][common];
      across(n) = a[common][n];
    }
    const double inverse = 1 / a[common][common];
    x -= inverse * down * across;
    x = x.inverse().eval();
    down = -inverse * (x * down).eval();
    a[common][common] = inverse * (1 - across.dot(down));
    across = -inverse * (across * x).eval();
    for (std::size_t n = 0; n < common; ++n) {
      a[common][n] = down(n);
      a[n][common] = across(n);
    }
  }
  for (std::size_t row = 0; row < common; ++row) {
    for (std::size_t column = 0; column < common; ++column) a[column][row] = x(row, column);
  }
}

/// b becomes the product of b and a matrix that is laid down column by column, as whole columns go in few
/// instructions.
template <std::size_t n, class Block>
void multiply(const Block& columns, double* b) {
  double sum[n] = {};
  for (std::size_t column = 0; column < n; ++column) {
    for (std::size_t row = 0; row < n; ++row) sum[row] += columns[column][row] * b[column];
  }
  std::copy_n(sum, n, b);
}

// With and without a core of its own: sizes that the compiler knows.
template <class Block>
void multiply(std::size_t size, const Block& a, double* b) {
  if (size == heat_nodes) {
    multiply<heat_nodes>(a, b);
  } else {
    multiply<common>(a, b);
  }
}

}  // namespace

StandstillCurrents::StandstillCurrents(const Circuit& circuit, bool with_inductance)
    : circuit_(circuit),
      with_inductance_(with_inductance),
      ohms_(circuit.doors.size()),
      resistance_(circuit.doors.size()),
      still_(circuit.doors.size()),
      current_(circuit.doors.size()),
      change_(circuit.doors.size()),
      slope_(circuit.doors.size()),
      driven_(circuit.doors.size()),
      lag_(circuit.doors.size()) {}

void StandstillCurrents::apply_inverse(const PerDoor<double>& right, PerDoor<double>& out) const {
  // (diag(R) + R_s 1 1ᵀ) out = right over the conducting doors.
  double top = 0, bottom = 1;
  for (std::size_t k = 0; k < right.size(); ++k) {
    if (still_[k] <= 0) continue;
    top += right[k] / resistance_[k];
    bottom += circuit_.shared_ohm / resistance_[k];
  }
  const double sum = top / bottom;
  for (std::size_t k = 0; k < right.size(); ++k) {
    out[k] = still_[k] > 0 ? (right[k] - circuit_.shared_ohm * sum) / resistance_[k] : 0.0;
  }
}

const PerDoor<double>& StandstillCurrents::solve(const double* T, std::size_t stride) {
  const std::size_t count = ohms_.size();
  const DoorCircuit* const doors = circuit_.doors.data();
  for (std::size_t k = 0; k < count; ++k) {
    ohms_[k] = DoorOhms(doors[k], T + k * stride);
    resistance_[k] = ohms_[k].path;
  }
  standstill_currents(circuit_, resistance_.data(), still_.data());
  for (std::size_t k = 0; k < still_.size(); ++k) current_[k] = still_[k];
  if (with_inductance_) take_lag(T, stride);
  return current_;
}

// docs/model.md (3.9)
void StandstillCurrents::take_lag(const double* T, std::size_t stride) {
  // L di/dt = v - R i with R changing: i = i_still - A^-1 L di/dt, and di/dt = -A^-1 (dR/dt i_still).
  const std::size_t count = ohms_.size();
  double rate[physics::heat_nodes];
  for (std::size_t k = 0; k < count; ++k) {
    const DoorCircuit& door = circuit_.doors[k];
    heat_rates(door, circuit_.at.ambient_C, ohms_[k], still_[k], 0, 0, T + k * stride, rate);
    const double growth =
        door.motor.winding_ohm_per_K() * rate[physics::winding] + ohms_[k].ptc_per_K * rate[physics::ptc];
    change_[k] = -growth * still_[k];
  }
  if (count == 1) {
    const double per_ohm = still_[0] > 0 ? 1 / (resistance_[0] + circuit_.shared_ohm) : 0;
    slope_[0] = change_[0] * per_ohm;
    lag_[0] = circuit_.doors[0].motor.inductance * slope_[0] * per_ohm;
  } else {
    apply_inverse(change_, slope_);
    for (std::size_t k = 0; k < count; ++k) driven_[k] = circuit_.doors[k].motor.inductance * slope_[k];
    apply_inverse(driven_, lag_);
  }
  largest_lag_ = largest_doubt_ = lag_J_ = 0;
  // Where a thermistor's curve bends this lag leaps, and the true one does not: no event may come of that.
  constexpr double most = 5e-3;
  for (std::size_t k = 0; k < count; ++k) {
    current_[k] = std::max(0.0, still_[k] - std::clamp(lag_[k], -most * still_[k], most * still_[k]));
    if (still_[k] <= 0) continue;
    const double lag = std::fabs(lag_[k]) / still_[k];
    largest_lag_ = std::max(largest_lag_, lag);
    // What the lag leaves or takes warms the thermistor as well, in L/R this share of what it lags by.
    const DoorCircuit& door = circuit_.doors[k];
    const double feedback =
        still_[k] * still_[k] * std::fabs(ohms_[k].ptc_per_K) * door.heat.per_capacity(physics::ptc);
    largest_doubt_ = std::max(
        largest_doubt_, lag * feedback * door.motor.inductance / (resistance_[k] + circuit_.shared_ohm));
    lag_J_ += circuit_.doors[k].motor.inductance * still_[k] * std::fabs(lag_[k]);
  }
}

StandstillSystem::StandstillSystem(const Circuit& circuit, bool with_inductance)
    : circuit_(circuit),
      at_{StandstillCurrents(circuit, with_inductance), StandstillCurrents(circuit, with_inductance),
          StandstillCurrents(circuit, with_inductance)},
      viewer_(circuit, with_inductance),
      factored_(circuit.doors.size()) {
  for (std::size_t k = 0; k < factored_.size(); ++k) {
    const physics::HeatNetwork& heat = circuit.doors[k].heat;
    Factored& f = factored_[k];
    f.size = heat.size();
    for (std::size_t row = 0; row < f.size; ++row) {
      const auto node = static_cast<physics::HeatNode>(row);
      double out = node == physics::housing ? heat.housing_to_ambient() : 0;
      for (std::size_t column = 0; column < f.size; ++column) {
        const double link = heat.link(node, static_cast<physics::HeatNode>(column));
        out += link;
        f.network[row][column] = -link / heat.capacity(node);
      }
      f.network[row][row] = out / heat.capacity(node);
    }
  }
  for (State& rate : inside_rate_) rate.resize(factored_.size() * heat_nodes);
}

const StandstillCurrents& StandstillSystem::look(const State& x) {
  looked_at_ = x;
  StandstillCurrents& here = at_[index(Place::begin)];
  here.solve(x.data(), heat_nodes);
  return here;
}

double StandstillSystem::scale_J(double current_A, double seconds) const {
  // Of a short study its first second stands for the whole. Where nothing flows nothing can be wrong.
  constexpr double least_J = 1e-3;
  return least_J + circuit_.source_V * current_A * std::min(seconds, 1.0);
}

void StandstillSystem::rates(const State& x, State& dxdt, Place place) {
  StandstillCurrents& here = at_[index(place)];
  const bool known = place == Place::begin && x == looked_at_;
  const auto& current = known ? here.currents() : here.solve(x.data(), heat_nodes);
  for (std::size_t k = 0; k < current.size(); ++k) {
    heat_rates(circuit_.doors[k], circuit_.at.ambient_C, here.ohms(k), current[k], 0, 0,
               x.data() + k * heat_nodes, dxdt.data() + k * heat_nodes);
  }
}

bool StandstillSystem::bends(const State& first, const State& last) const {
  for (std::size_t k = 0; k < factored_.size(); ++k) {
    const base::MonotoneCurve& curve = circuit_.doors[k].ptc.curve->curve();
    const std::size_t thermistor = k * heat_nodes + physics::ptc;
    if (curve.piece(first[thermistor]) != curve.piece(last[thermistor])) return true;
  }
  return false;
}

bool StandstillSystem::steep() const {
  constexpr double much = 1;  // 1/K, of a resistance relative to itself; parts that trip have a third of it
  for (std::size_t k = 0; k < factored_.size(); ++k) {
    for (const Place place : {Place::begin, Place::end}) {
      const DoorOhms& ohms = at(place).ohms(k);
      if (std::fabs(ohms.ptc_per_K) > much * ohms.ptc) return true;
    }
  }
  return false;
}

double StandstillSystem::put_right(const Step& step, State& end, State& next_rate) {
  // What a door's nodes hold is what has come in and gone out. The heat that flows along the step's cubic, by
  // Lobatto's rule of 4 points (Abramowitz & Stegun 25.4.32), is known better than the temperatures at its
  // end; the housing, large and slow, takes the difference, which is far below a millikelvin there.
  constexpr double near_end = 0.27639320225002103;
  constexpr double places[] = {near_end, 1 - near_end, 0.5};
  // Of all energy so far. Where a thermistor's curve goes from one piece to the next, or is steep, rates bend
  // and the rule is not so good: there it must also agree with Simpson's. A steep one takes hundreds of steps
  // that all err to the same side.
  constexpr double permitted = 3e-6, permitted_at_bend = 1e-6, permitted_if_steep = 2e-8;
  constexpr double permitted_K = 1e-3;  // of a housing that is not so large
  const double h = step_s_ = step.end() - step.begin();
  const bool at_bend = bends(step.first(), end), if_steep = steep(), bend = at_bend || if_steep;
  double source_W = 0;
  for (std::size_t n = 0; n < (bend ? 3 : 2); ++n) {
    step.at_share(places[n], inside_[n]);
    rates(inside_[n], inside_rate_[n], Place::inside);
    if (n == 2) continue;
    for (const double i : at(Place::inside).currents()) source_W += 0.5 * circuit_.source_V * i;
  }
  double off_J = 0, largest_K = 0;
  const StandstillCurrents& there = at(Place::end);
  for (std::size_t k = 0; k < factored_.size(); ++k) {
    const physics::HeatNetwork& heat = circuit_.doors[k].heat;
    const std::size_t first = k * heat_nodes;
    double gain_J = 0, apart_J = 0, rounding_J = 0;
    for (std::size_t n = first; n < first + heat_nodes; ++n) {
      const double capacity = heat.capacity(static_cast<physics::HeatNode>(n - first));
      const double ends = step.first_rate()[n] + step.last_rate()[n];
      const double mean = (ends + 5 * (inside_rate_[0][n] + inside_rate_[1][n])) / 12;
      gain_J += capacity * (h * mean - (end[n] - step.first()[n]));
      rounding_J += capacity * std::fabs(end[n]) * std::numeric_limits<double>::epsilon();
      if (bend) apart_J += capacity * h * (mean - (ends + 4 * inside_rate_[2][n]) / 6);
    }
    off_J += std::max({0.0, std::fabs(gain_J) - rounding_J, std::fabs(apart_J) - rounding_J});
    // A warmer housing has also given more away on its way, in the mean half of what it would at the end.
    const double moved_K = gain_J / (heat.capacity(physics::housing) + 0.5 * h * heat.housing_to_ambient());
    end[first + physics::housing] += moved_K;
    largest_K = std::max(largest_K, std::fabs(moved_K));
    heat_rates(circuit_.doors[k], circuit_.at.ambient_C, there.ohms(k), there.currents()[k], 0, 0,
               end.data() + first, next_rate.data() + first);
  }
  const double limit = (if_steep ? permitted_if_steep : at_bend ? permitted_at_bend : permitted) * energy_J_;
  if (off_J <= limit && largest_K <= permitted_K) energy_J_ += h * source_W;
  return std::max(off_J / limit, largest_K / permitted_K);
}

void StandstillSystem::accept() {
  swapped_ = !swapped_;
  looked_at_.clear();
}

void StandstillSystem::put_block(std::size_t k, double shift, Factored& f) const {
  // The lag of the current is left out of the Jacobian: it is small, and the method forgives it.
  using namespace physics;
  const DoorCircuit& door = circuit_.doors[k];
  const StandstillCurrents& here = at(Place::begin);
  const DoorOhms& ohms = here.ohms(k);
  const double i = here.still()[k];
  Block& a = f.inverse;
  a = f.network;
  for (std::size_t n = 0; n < f.size; ++n) a[n][n] += shift;
  f.pull.fill(0);
  f.winding_share = f.ptc_share = 0;
  if (i <= 0) return;
  // i = (v - V_b) / R at a given node voltage; a lone door takes the shared resistance into its own.
  const double per_volt = 1 / (ohms.path + (factored_.size() == 1 ? circuit_.shared_ohm : 0));
  const double winding_per_K = door.motor.winding_ohm_per_K(), ptc_per_K = ohms.ptc_per_K;
  const double by_winding = i * per_volt * winding_per_K, by_ptc = i * per_volt * ptc_per_K;  // A/K, of fall
  const std::pair<HeatNode, double> watts_per_A[] = {
      {winding, 2 * ohms.winding * i}, {motor_case, door.motor.brush_drop}, {ptc, 2 * ohms.ptc * i}};
  for (const auto& [node, watts] : watts_per_A) {
    const double heating = watts * door.heat.per_capacity(node);
    a[node][winding] += heating * by_winding;
    a[node][ptc] += heating * by_ptc;
    f.pull[node] = heating * per_volt;
  }
  a[winding][winding] -= i * i * winding_per_K * door.heat.per_capacity(winding);
  a[ptc][ptc] -= i * i * ptc_per_K * door.heat.per_capacity(ptc);
  f.winding_share = circuit_.shared_ohm * by_winding;
  f.ptc_share = circuit_.shared_ohm * by_ptc;
}

void StandstillSystem::factor(const State&, double shift) {
  // Every door's nodes are a block; all doors hang together through the node voltage, which is one rank-one
  // term (Sherman–Morrison).
  const StandstillCurrents& here = at(Place::begin);
  double bottom = 1;
  for (std::size_t k = 0; k < factored_.size(); ++k) {
    Factored& f = factored_[k];
    put_block(k, shift, f);
    invert(f.size, f.inverse);
    if (factored_.size() == 1) return;
    if (here.still()[k] > 0) bottom += circuit_.shared_ohm / here.ohms(k).path;
    multiply(f.size, f.inverse, f.pull.data());
  }
  double sum = 0;
  for (Factored& f : factored_) {
    f.winding_share /= bottom;
    f.ptc_share /= bottom;
    sum += f.winding_share * f.pull[physics::winding] + f.ptc_share * f.pull[physics::ptc];
  }
  coupling_ = 1 / (1 - sum);
}

void StandstillSystem::solve(State& b) const {
  if (factored_.size() == 1) {
    multiply(factored_[0].size, factored_[0].inverse, b.data());
    return;
  }
  double volts = 0;
  for (std::size_t k = 0; k < factored_.size(); ++k) {
    const Factored& f = factored_[k];
    double* nodes = b.data() + k * heat_nodes;
    multiply(f.size, f.inverse, nodes);
    volts += f.winding_share * nodes[physics::winding] + f.ptc_share * nodes[physics::ptc];
  }
  volts *= coupling_;
  for (std::size_t k = 0; k < factored_.size(); ++k) {
    const Factored& f = factored_[k];
    for (std::size_t n = 0; n < f.size; ++n) b[k * heat_nodes + n] += volts * f.pull[n];
  }
}

std::string StandstillSystem::describe(const State& x) const {
  std::string text;
  for (std::size_t k = 0; k < circuit_.doors.size(); ++k) {
    text += fmt::format("{}{} standing, winding {:.4g} °C, thermistor {:.4g} °C", k ? "; " : "",
                        circuit_.doors[k].name, x[k * heat_nodes + physics::winding],
                        x[k * heat_nodes + physics::ptc]);
  }
  return text;
}

}  // namespace latchwright::sim
