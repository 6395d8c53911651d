// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <boost/math/tools/roots.hpp>
#include <utility>

#include "sim/solver.h"

// The functions of Solver.
namespace latchwright::sim {

/// Where a function of time, s, rises through 0 between low and high, just past it; g_low <= 0 < g_high are
/// its values there.
template <class G>
double rise_between(G&& g, double low, double g_low, double high, double g_high) {
  if (g_low == 0) {
    // Starts on the edge: bisection towards the first moment that is past it.
    for (int n = 0; n < 60 && high - low > 1e-15; ++n) {
      const double half = 0.5 * (low + high);
      (g(half) > 0 ? high : low) = half;
    }
    return high;
  }
  std::uintmax_t most = 100;
  return boost::math::tools::toms748_solve(g, low, high, g_low, g_high,
                                           boost::math::tools::eps_tolerance<double>(50), most)
      .second;
}

template <class System>
template <std::size_t i, class Size>
void Solver<System>::stage(System& system, const State& x, double per_h, Size size) {
  const double* const u[] = {u_[0].data(), u_[1].data(), u_[2].data(), u_[3].data(), u_[4].data()};
  double* const now = u_[i].data();
  if constexpr (i == 0) {
    std::copy_n(rate_.data(), std::size_t{size}, now);
  } else {
    const double* const from = x.data();
    double* const place = end_.data();
    for (std::size_t k = 0; k < size; ++k) {
      if constexpr (i < Rodas::stages - 1) {
        double sum = from[k];
        for (std::size_t j = 0; j < i; ++j) sum += Rodas::a[i][j] * u[j][k];
        place[k] = sum;
      } else {
        place[k] += u[i - 1][k];
      }
    }
    system.rates(end_, u_[i], Place::inside);
    for (std::size_t k = 0; k < size; ++k) {
      double sum = 0;
      for (std::size_t j = 0; j < i; ++j) sum += Rodas::c[i][j] * u[j][k];
      now[k] += sum * per_h;
    }
  }
  system.solve(u_[i]);
}

/// Takes end_ to the end of a step; returns its error in units of the tolerance.
template <class System>
double Solver<System>::advance(System& system, const State& x, double h) {
  const double per_h = 1 / h;
  system.factor(x, Rodas::per_gamma * per_h);
  const auto stages = [&]<std::size_t... i>(std::index_sequence<i...>, auto size) {
    (stage<i>(system, x, per_h, size), ...);
  };
  constexpr std::make_index_sequence<Rodas::stages> all;
  // A size that the compiler knows makes short loops much cheaper.
  if (x.size() == System::usual_size) {
    stages(all, std::integral_constant<std::size_t, System::usual_size>());
  } else {
    stages(all, x.size());
  }
  double worst = 0, sum = 0;
  const State& off = u_[Rodas::stages - 1];
  for (std::size_t k = 0; k < x.size(); ++k) {
    end_[k] += off[k];
    worst = std::max(worst, std::fabs(off[k]));
    sum += end_[k];
  }
  // max() passes over what is no number; a sum does not.
  return std::isfinite(sum) ? worst / tolerance_ : refused;
}

/// The error of a step of h with all that its end needs, in units of what is permitted.
template <class System>
double Solver<System>::trial(System& system, const State& x, double t, double h) {
  const double error = advance(system, x, h);
  if (!(error <= 1)) return error;
  system.rates(end_, end_rate_, Place::end);
  const double off = system.put_right(Step(t, t + h, x, rate_, end_, end_rate_), end_, next_rate_);
  double sum = 0;
  for (const double rate : next_rate_) sum += rate;
  return std::isfinite(sum) && std::isfinite(off) ? std::max(error, off) : refused;
}

template <class System>
double Solver<System>::first_event(System& system, const Step& step) {
  const auto events = g_begin_.size();
  double at = step.end();
  bool found = false;
  for (std::size_t k = 0; k < events; ++k) {
    if (g_end_[k] <= 0 || g_begin_[k] > 0) continue;
    double high = g_end_[k];
    if (found) {
      // Later than one that is known?
      step.at(at, probe_);
      system.events(probe_, g_probe_.data(), Place::inside);
      if (g_probe_[k] <= 0) continue;
      high = g_probe_[k];
    }
    const auto g = [&](double t) {
      step.at(t, probe_);
      system.events(probe_, g_probe_.data(), Place::inside);
      return g_probe_[k];
    };
    at = rise_between(g, step.begin(), g_begin_[k], at, high);
    found = true;
  }
  return at;
}

template <class System>
Ended Solver<System>::run(System& system, State& x, double& t, double t_end, double first_step,
                          StepSink& sink) {
  steps_ = 0;
  if (t >= t_end) return Ended::time;
  resize(x.size(), system.event_count());
  const bool events = !g_begin_.empty();
  system.rates(x, rate_, Place::begin);
  if (events) system.events(x, g_begin_.data(), Place::begin);
  double next = first_step;
  bool first = true;
  for (steps_ = 1;; ++steps_) {
    if (steps_ > most_steps_) over_budget(t, most_steps_, system.describe(x));
    const double left = t_end - t;
    // No crumb of a step at the end.
    const bool last = next >= left * (1 - 1e-9);
    const double h = last ? left : std::min(next, 0.5 * left);
    const double error = trial(system, x, t, h);
    const double change = std::clamp(0.85 / std::sqrt(std::sqrt(std::max(error, 1e-12))), 0.1, 8.0);
    if (!(error <= 1)) {
      next = h * std::min(0.9, change);
      if (next < shortest_step) cannot_go_on(t, system.describe(x));
      continue;
    }
    if (std::exchange(first, false)) first_step_ = std::max(next, h * std::max(1.0, change));
    next = std::max(next, h) * (last ? std::max(1.0, change) : change);
    const double to = last ? t_end : t + h;
    const Step step(t, to, x, rate_, end_, end_rate_);
    if (events) {
      system.events(end_, g_end_.data(), Place::end);
      bool any = false;
      for (std::size_t k = 0; k < g_end_.size(); ++k) any = any || (g_end_[k] > 0 && g_begin_[k] <= 0);
      if (any) {
        const double at = first_event(system, step);
        step.at(at, u_[0]);
        system.rates(u_[0], u_[1], Place::end);
        sink.take(Step(t, at, x, rate_, u_[0], u_[1]));
        x = u_[0];
        t = at;
        return Ended::event;
      }
    }
    sink.take(step);
    std::swap(x, end_);
    std::swap(rate_, next_rate_);
    std::swap(g_begin_, g_end_);
    system.accept();
    t = to;
    if (last) return Ended::time;
    if (system.settled(x)) return Ended::settled;
  }
}

template <class System>
void Solver<System>::resize(std::size_t size, std::size_t events) {
  if (rate_.size() != size) {
    for (State* s : {&rate_, &end_, &end_rate_, &next_rate_, &probe_}) s->resize(size);
    for (State& u : u_) u.resize(size);
  }
  for (auto* g : {&g_begin_, &g_end_, &g_probe_}) g->resize(events);
}

}  // namespace latchwright::sim
