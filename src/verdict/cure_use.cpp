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

}  // namespace

Found shorter_pulse(const Retry& retry, const Passes& quick, const Passes& full) {
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

Found longer_gap(const Retry& retry, const Passes& quick, const Passes& full) {
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

namespace {

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

/// Whether the doors but one keep working together and alone: then that one is what sinks the row.
bool works_without(const Retry& retry, std::size_t door, const LockoutCondition& at) {
  const model::Study& study = retry.study();
  if (study.doors.size() == 1) return true;
  const model::Study rest = retry.with([&](model::Job& job) {
    job.doors.erase(job.doors.begin() + static_cast<std::ptrdiff_t>(door));
  });
  return keeps_working(rest, at);
}

/// Another actuator in the one door that sinks the row.
Found other_sinking_actuator(const Retry& retry, const LockoutCondition& at, const Passes& full) {
  for (std::size_t door = 0; door < retry.study().doors.size(); ++door) {
    if (!works_without(retry, door, at)) continue;
    if (Found found = other_actuator(retry, door, full)) return found;
  }
  return std::nullopt;
}

/// What it does is the most that can be promised.
Found fewer_cycles(const Retry& retry, const LockoutCondition& at, const Passes& full) {
  const bool hot = at.ambient_level == hot_level;
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

/// The shortest pulse that lets the door arrive at every corner.
Found longer_pulse(const Retry& retry, std::size_t door) {
  const double now = retry.study().job.pulse.on_s;
  const auto slowest = slowest_throw(retry.findings(), door);
  if (!slowest) return std::nullopt;
  const double longer = up_to(*slowest, pulse_step);
  if (longer > longest_pulse || !retry.cures(retry.with([&](model::Job& job) { job.pulse.on_s = longer; }))) {
    return std::nullopt;
  }
  return number_change(
      "/pulse/on_s", now, longer,
      fmt::format("a longer pulse: {} s instead of {} s", exact_text(longer), exact_text(now)));
}

}  // namespace

Ways lockout_ways(const Retry& retry) {
  const auto conditions = conditions_by_doubt(retry);
  const LockoutCondition own = conditions.front();
  const Passes quick = [own](const model::Study& study) { return keeps_working(study, own); };
  const Passes full = [conditions](const model::Study& study) {
    return std::all_of(conditions.begin(), conditions.end(),
                       [&](const LockoutCondition& at) { return keeps_working(study, at); });
  };
  return {{[&retry, quick, full] { return shorter_pulse(retry, quick, full); }},
          {[&retry, quick, full] { return longer_gap(retry, quick, full); }},
          {[&retry, own, full] { return other_sinking_actuator(retry, own, full); }},
          {[&retry, own, full] { return fewer_cycles(retry, own, full); }, {0, 1, 2}}};
}

Ways winding_ways(const Retry& retry) {
  const std::size_t door = *retry.row().door;
  const Passes quick = [door, at = *retry.row().at](const model::Study& study) {
    base::NoProgress quiet;
    const Findings findings(study, quiet);
    for (std::size_t v = 0; v < levels; ++v) {
      for (std::size_t a = 0; a < levels; ++a) {
        if (findings.voltage(v) != at.voltage_V || findings.ambient(a) != at.ambient_C) continue;
        const double peak = findings.cycling(v, a).cycles.doors[door].peak_winding_C;
        if (peak > study.actuator(door).motor.winding_class_C) return false;
      }
    }
    return true;
  };
  const Passes full = [&retry](const model::Study& study) { return retry.cures(study); };
  return {{[&retry, quick, full] { return shorter_pulse(retry, quick, full); }},
          {[&retry, quick, full] { return longer_gap(retry, quick, full); }},
          {[&retry, door] { return other_actuator(retry, door); }}};
}

Ways throw_time_ways(const Retry& retry) {
  const std::size_t door = *retry.row().door;
  return {{[&retry, door] { return longer_pulse(retry, door); }},
          {[&retry, door] { return thicker_branch(retry, door); }},
          {[&retry] { return thicker_feed(retry); }},
          {[&retry, door] { return other_actuator(retry, door); }},
          {[&retry, door] { return shorter_run(retry, door); }, {1, 2}}};
}

}  // namespace latchwright::verdict
