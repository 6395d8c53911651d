// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "verdict/cure_ways.h"

// Changes of use: pulse, rest between pulses, promised cycles.
namespace latchwright::verdict {

using base::exact_text;
using base::significant;

namespace {

using Passes = std::function<bool(const model::Study&)>;

constexpr double pulse_step = 0.01;      // s
constexpr double shortest_pulse = 0.02;  // s, what a job may hold
constexpr double longest_pulse = 10;     // s, likewise
constexpr double gap_step = 0.1;         // s
constexpr double longest_gap = 60;       // s: beyond this a gap is no setting but a ban

double up_to(double value, double step) { return tidy(std::ceil(value / step - 1e-9) * step); }

/// The longest time that one door, or any of them, takes at any corner; none when it does not arrive at all.
std::optional<double> slowest_throw(const Findings& findings, std::optional<std::size_t> door) {
  double slowest = 0;
  for (std::size_t v = 0; v < levels; ++v) {
    for (std::size_t a = 0; a < levels; ++a) {
      const ThrowFindings& found = findings.throws(v, a);
      for (std::size_t k = 0; k < found.arrival_s.size(); ++k) {
        if (door && k != *door) continue;
        const auto arrival = found.arrival_s[k] ? found.arrival_s[k] : found.longer_s[k];
        if (!arrival) return std::nullopt;
        slowest = std::max(slowest, *arrival);
      }
    }
  }
  return slowest;
}

Cure shorter_pulse(const Retry& retry, const Passes& quick, const Passes& full) {
  const double now = retry.study().job.pulse.on_s;
  const auto slowest = slowest_throw(retry.findings(), std::nullopt);
  if (!slowest) return std::nullopt;
  const double shortest =
      std::max(shortest_pulse, up_to(info_of(CheckId::throw_time).tight_below * *slowest, pulse_step));
  const auto with_pulse = [&](double on_s) {
    return retry.with([&](model::Job& changed) { changed.pulse.on_s = on_s; });
  };
  if (shortest >= now) return std::nullopt;
  for (const Passes& passes : {quick, full}) {
    if (!passes(with_pulse(shortest))) return std::nullopt;
    const double pulse = largest_passing(shortest, up_to(now, pulse_step), pulse_step,
                                         [&](double on_s) { return passes(with_pulse(on_s)); });
    if (full(with_pulse(pulse))) {
      return number_change(
          "/pulse/on_s", now, pulse,
          fmt::format("a shorter pulse: {} s instead of {} s", exact_text(tidy(pulse)), exact_text(now)));
    }
  }
  return std::nullopt;
}

Cure longer_gap(const Retry& retry, const Passes& quick, const Passes& full) {
  const double now = retry.study().job.use.gap_s;
  const auto with_gap = [&](double gap_s) {
    return retry.with([&](model::Job& changed) { changed.use.gap_s = gap_s; });
  };
  const auto smallest = [&](const Passes& passes) -> std::optional<double> {
    double fails = now;
    for (double tried = std::max(2 * up_to(now, gap_step), 1.0); fails < longest_gap; tried *= 2) {
      tried = std::min(tried, longest_gap);
      if (passes(with_gap(tried))) {
        return smallest_passing(std::floor(fails / gap_step + 1e-9) * gap_step, tried, gap_step,
                                [&](double gap_s) { return passes(with_gap(gap_s)); });
      }
      fails = tried;
    }
    return std::nullopt;
  };
  for (const Passes& passes : {quick, full}) {
    const auto gap = smallest(passes);
    if (!gap) return std::nullopt;
    if (full(with_gap(*gap))) {
      return number_change("/use/gap_s", now, *gap,
                           fmt::format("a longer rest between pulses: {} s instead of {} s",
                                       exact_text(tidy(*gap)), exact_text(now)));
    }
  }
  return std::nullopt;
}

/// A shorter pulse (but long enough for every throw at every corner), else a longer gap. quick: what must
/// hold for full to hold, found with less work; it leads the search.
Cure gentler_use(const Retry& retry, const Passes& quick, const Passes& full) {
  return first_of(
      {[&] { return shorter_pulse(retry, quick, full); }, [&] { return longer_gap(retry, quick, full); }});
}

/// Conditions of lockout.
struct LockoutCondition {
  std::size_t ambient_level;
  bool charging;
};

bool keeps_working(const model::Study& study, const LockoutCondition& at) {
  base::NoProgress quiet;
  const Findings findings(study, quiet);
  return findings.solve_lockout(at.ambient_level, at.charging, 1, 1).cycles_done >=
         findings.wanted_cycles(at.ambient_level);
}

/// The row's own condition first: that is where it fails.
std::vector<LockoutCondition> conditions_by_doubt(const Retry& retry) {
  const CheckRow& row = retry.row();
  const Findings& findings = retry.findings();
  std::vector<LockoutCondition> conditions;
  for (std::size_t a = levels; a-- > 0;) {
    for (const bool charging : {true, false}) conditions.push_back({a, charging});
  }
  const auto own = std::find_if(conditions.begin(), conditions.end(), [&](const LockoutCondition& at) {
    const auto& supply = retry.study().job.supply;
    return row.at->voltage_V == (at.charging ? supply.charge_V : supply.usual_V) &&
           row.at->ambient_C == findings.ambient(at.ambient_level) &&
           *row.need == findings.wanted_cycles(at.ambient_level);
  });
  std::rotate(conditions.begin(), own, own + 1);
  return conditions;
}

}  // namespace

Cure cure_lockout(const Retry& retry) {
  const auto conditions = conditions_by_doubt(retry);
  const Passes quick = [&](const model::Study& study) { return keeps_working(study, conditions.front()); };
  const Passes full = [&](const model::Study& study) {
    return std::all_of(conditions.begin(), conditions.end(),
                       [&](const LockoutCondition& at) { return keeps_working(study, at); });
  };
  if (Cure cure = gentler_use(retry, quick, full)) return cure;
  // Nothing gentler helps: what it does is the most that can be promised.
  const bool hot = conditions.front().ambient_level == hot_level;
  const int done = static_cast<int>(*retry.row().have);
  if (done < 1) return std::nullopt;
  const auto& use = retry.study().job.use;
  if (!full(retry.with([&](model::Job& job) { (hot ? job.use.hot_cycles : job.use.cycles) = done; }))) {
    return std::nullopt;
  }
  return number_change(
      hot ? "/use/hot_cycles" : "/use/cycles", hot ? use.hot_cycles : use.cycles, done,
      fmt::format("promise no more than {} cycles in a row{}", done, hot ? " when hot" : ""));
}

Cure cure_winding(const Retry& retry) {
  const CheckRow& row = retry.row();
  const Passes quick = [&](const model::Study& study) {
    base::NoProgress quiet;
    const Findings findings(study, quiet);
    for (std::size_t v = 0; v < levels; ++v) {
      for (std::size_t a = 0; a < levels; ++a) {
        if (findings.voltage(v) != row.at->voltage_V || findings.ambient(a) != row.at->ambient_C) continue;
        const double peak = findings.cycling(v, a).cycles.doors[*row.door].peak_winding_C;
        if (peak > study.actuator(*row.door).motor.winding_class_C) return false;
      }
    }
    return true;
  };
  const Passes full = [&](const model::Study& study) { return retry.cures(study); };
  return first_of(
      {[&] { return gentler_use(retry, quick, full); }, [&] { return other_actuator(retry, *row.door); }});
}

Cure cure_throw_time(const Retry& retry) {
  const std::size_t door = *retry.row().door;
  const double now = retry.study().job.pulse.on_s;
  if (const auto slowest = slowest_throw(retry.findings(), door)) {
    const double longer = up_to(*slowest, pulse_step);
    if (longer <= longest_pulse &&
        retry.cures(retry.with([&](model::Job& job) { job.pulse.on_s = longer; }))) {
      return number_change(
          "/pulse/on_s", now, longer,
          fmt::format("a longer pulse: {} s instead of {} s", exact_text(longer), exact_text(now)));
    }
  }
  return first_of({[&] { return thicker_branch(retry, door); }, [&] { return thicker_feed(retry); },
                   [&] { return other_actuator(retry, door); }});
}

}  // namespace latchwright::verdict
