// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/cure.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "verdict/cure_search.h"

namespace latchwright::verdict {

using base::significant;

namespace {

using Cure = std::optional<Change>;

constexpr double pulse_step = 0.01;  // s
constexpr double gap_step = 0.1;     // s
constexpr double longest_gap = 60;   // s: beyond this a gap is no setting but a ban

double rounded(double value, double step) { return std::round(value / step) * step; }
double up_to(double value, double step) { return rounded(std::ceil(value / step - 1e-9) * step, step); }

/// Two decimals at most, without a trailing rounding tail.
double tidy(double value) { return std::round(value * 1000) / 1000; }

Change number_change(std::string pointer, double now, double passes_at, std::string text) {
  return {std::move(pointer), tidy(now), tidy(passes_at), std::move(text)};
}

Change part_change(std::string pointer, const model::PartPtr& now, const model::PartPtr& then, std::string what) {
  return {std::move(pointer), now ? Setting(now->id) : Setting(), then->id,
          fmt::format("{}: {} ({})", what, then->title, then->id)};
}

/// Doors that a change of this row's door may concern: its own.
Cure thicker_branch(const Retry& retry, std::size_t door) {
  const auto& now = retry.study().doors[door].wire;
  for (const auto& wire : thicker_wires(*retry.study().catalogue, now)) {
    if (retry.cures(retry.with([&](model::Job& job) { job.doors[door].wire = wire->id; }))) {
      return part_change(door_pointer(door, "wire"), now, wire, "a thicker door run");
    }
  }
  return std::nullopt;
}

Cure thicker_feed(const Retry& retry) {
  const auto& now = retry.study().feed.wire;
  for (const auto& wire : thicker_wires(*retry.study().catalogue, now)) {
    if (retry.cures(retry.with([&](model::Job& job) { job.feed.wire = wire->id; }))) {
      return part_change("/feed/wire", now, wire, "a thicker feed");
    }
  }
  return std::nullopt;
}

Cure other_actuator(const Retry& retry, std::size_t door) {
  const auto& now = retry.study().doors[door].actuator;
  for (const auto& actuator : other_actuators(*retry.study().catalogue, now)) {
    const model::Study changed = retry.with([&](model::Job& job) { job.doors[door].actuator = actuator->id; });
    // It must do the door's work too: cheap checks first.
    bool fits = true;
    for (const CheckId id : {CheckId::stroke, CheckId::force, CheckId::ptc_rating}) {
      fits = fits && Retry::passes(changed, id, door, "");
    }
    if (fits && retry.cures(changed)) {
      return part_change(door_pointer(door, "actuator"), now, actuator, "another actuator");
    }
  }
  return std::nullopt;
}

Cure weaker_rod(const Retry& retry, std::size_t door) {
  const CheckRow& row = retry.row();
  if (!row.margin || *row.margin <= 0) return std::nullopt;
  const auto& job_door = retry.study().job.doors[door];
  const double percent = std::floor(100 * *row.margin);
  const std::string text = fmt::format("free the linkage: the rod's force down to {} % of what it is", percent);
  const bool one_force = job_door.rod_force.shape != model::RodShape::table && !job_door.rod_force_unlock;
  if (!one_force) return Change{door_pointer(door, "rod_force"), {}, {}, text};
  const double peak = job_door.rod_force.peak;
  return number_change(door_pointer(door, "rod_force/peak_N"), peak, peak * percent / 100, text);
}

Cure first_of(std::initializer_list<std::function<Cure()>> ways) {
  for (const auto& way : ways) {
    if (Cure cure = way()) return cure;
  }
  return std::nullopt;
}

/// The longest time that any door takes at any corner; none when some door does not arrive at all.
std::optional<double> slowest_throw(const Findings& findings) {
  double slowest = 0;
  for (std::size_t v = 0; v < levels; ++v) {
    for (std::size_t a = 0; a < levels; ++a) {
      const ThrowFindings& found = findings.throws(v, a);
      for (std::size_t k = 0; k < found.arrival_s.size(); ++k) {
        const auto arrival = found.arrival_s[k] ? found.arrival_s[k] : found.longer_s[k];
        if (!arrival) return std::nullopt;
        slowest = std::max(slowest, *arrival);
      }
    }
  }
  return slowest;
}

/// A shorter pulse (but long enough for every throw at every corner), else a longer gap.
Cure gentler_use(const Retry& retry, const std::function<bool(const model::Study&)>& passes) {
  const model::Job& job = retry.study().job;
  const auto with_pulse = [&](double on_s) {
    return retry.with([&](model::Job& changed) { changed.pulse.on_s = on_s; });
  };
  const auto with_gap = [&](double gap_s) {
    return retry.with([&](model::Job& changed) { changed.use.gap_s = gap_s; });
  };
  if (const auto slowest = slowest_throw(retry.findings())) {
    const double shortest = up_to(info_of(CheckId::throw_time).tight_below * *slowest, pulse_step);
    if (shortest < job.pulse.on_s && passes(with_pulse(shortest))) {
      const double pulse = largest_passing(shortest, up_to(job.pulse.on_s, pulse_step), pulse_step,
                                           [&](double on_s) { return passes(with_pulse(on_s)); });
      return number_change("/pulse/on_s", job.pulse.on_s, pulse,
                           fmt::format("a shorter pulse: {} s instead of {} s", significant(pulse),
                                       significant(job.pulse.on_s)));
    }
  }
  for (double gap = std::max(2 * job.use.gap_s, 1.0); gap <= 2 * longest_gap; gap *= 2) {
    const double tried = std::min(gap, longest_gap);
    if (tried > job.use.gap_s && passes(with_gap(tried))) {
      const double low = std::max(job.use.gap_s, gap / 2);
      const double shortest = smallest_passing(std::floor(low / gap_step) * gap_step, up_to(tried, gap_step), gap_step,
                                               [&](double gap_s) { return passes(with_gap(gap_s)); });
      return number_change("/use/gap_s", job.use.gap_s, shortest,
                           fmt::format("a longer rest between pulses: {} s instead of {} s", significant(shortest),
                                       significant(job.use.gap_s)));
    }
  }
  return std::nullopt;
}

Cure cure_lockout(const Retry& retry) {
  const auto passes = [](const model::Study& study) {
    base::NoProgress quiet;
    const Findings findings(study, quiet);
    // Hot first: that is where it fails.
    for (std::size_t a = levels; a-- > 0;) {
      for (const bool charging : {true, false}) {
        if (findings.solve_lockout(a, charging, 1, 1).cycles_done < findings.wanted_cycles(a)) return false;
      }
    }
    return true;
  };
  if (Cure cure = gentler_use(retry, passes)) return cure;
  // Nothing gentler helps: what it does is the most that can be promised.
  const bool hot = retry.row().at->ambient_C == retry.findings().ambient(hot_level);
  const double done = retry.row().have.value_or(0);
  if (done < 1) return std::nullopt;
  const auto& use = retry.study().job.use;
  return number_change(hot ? "/use/hot_cycles" : "/use/cycles", hot ? use.hot_cycles : use.cycles, done,
                       fmt::format("promise no more than {} cycles in a row{}", significant(done),
                                   hot ? " when hot" : ""));
}

Cure cure_winding(const Retry& retry) {
  const CheckRow& row = retry.row();
  const auto passes_here = [&](const model::Study& study) {
    base::NoProgress quiet;
    const Findings findings(study, quiet);
    for (std::size_t v = 0; v < levels; ++v) {
      for (std::size_t a = 0; a < levels; ++a) {
        if (findings.voltage(v) != row.at->voltage_V || findings.ambient(a) != row.at->ambient_C) continue;
        const auto& peak = findings.cycling(v, a).cycles.doors[*row.door].peak_winding_C;
        if (peak > study.actuator(*row.door).motor.winding_class_C) return false;
      }
    }
    return true;
  };
  return first_of({[&]() -> Cure {
                     Cure cure = gentler_use(retry, passes_here);
                     if (!cure) return cure;
                     const double value = std::get<double>(cure->passes_at);
                     const bool pulse = cure->pointer == "/pulse/on_s";
                     const bool everywhere = retry.cures(retry.with([&](model::Job& job) {
                       (pulse ? job.pulse.on_s : job.use.gap_s) = value;
                     }));
                     return everywhere ? cure : std::nullopt;
                   },
                   [&] { return other_actuator(retry, *row.door); }});
}

Cure cure_throw_time(const Retry& retry) {
  const CheckRow& row = retry.row();
  const double pulse = retry.study().job.pulse.on_s;
  if (row.need) {
    const double longer = up_to(*row.need, pulse_step);
    if (longer <= 10 && retry.cures(retry.with([&](model::Job& job) { job.pulse.on_s = longer; }))) {
      return number_change("/pulse/on_s", pulse, longer,
                           fmt::format("a longer pulse: {} s instead of {} s", significant(longer), significant(pulse)));
    }
  }
  return first_of({[&] { return thicker_branch(retry, *row.door); }, [&] { return thicker_feed(retry); },
                   [&] { return other_actuator(retry, *row.door); }});
}

/// Another main or branch fuse of the same family that passes this row and still carries the load.
Cure other_fuse(const Retry& retry, std::optional<std::size_t> door, bool larger) {
  const model::Study& study = retry.study();
  const auto& now = door ? study.doors[*door].fuse : study.feed.fuse;
  const double rating = std::get<model::Fuse>(now->body).rating_A;
  auto fuses = family_fuses(*study.catalogue, now);
  if (!larger) std::reverse(fuses.begin(), fuses.end());
  const std::string part = door ? door_fuse_name(study.job.doors[*door]) : std::string(main_fuse_name);
  for (const auto& fuse : fuses) {
    const double other = std::get<model::Fuse>(fuse->body).rating_A;
    if (larger ? other <= rating : other >= rating) continue;
    const model::Study changed = retry.with([&](model::Job& job) {
      if (door) {
        job.doors[*door].fuse = model::PartRef{fuse->id};
      } else {
        job.feed.fuse = fuse->id;
      }
    });
    if (!retry.cures(changed)) continue;
    if (!larger && (!Retry::passes(changed, CheckId::fuse_load, std::nullopt, part) ||
                    !Retry::passes(changed, CheckId::fuse_carry, std::nullopt, part))) {
      continue;
    }
    return part_change(door ? door_pointer(*door, "fuse") : "/feed/fuse", now, fuse,
                       larger ? "a larger fuse" : "a smaller fuse");
  }
  return std::nullopt;
}

/// A fuse of its own for a door run that only the main fuse protects.
Cure own_fuse(const Retry& retry, std::size_t door) {
  const model::Study& study = retry.study();
  if (study.doors[door].fuse) return std::nullopt;
  const std::string part = door_fuse_name(study.job.doors[door]);
  for (const auto& fuse : family_fuses(*study.catalogue, study.feed.fuse)) {
    const model::Study changed =
        retry.with([&](model::Job& job) { job.doors[door].fuse = model::PartRef{fuse->id}; });
    base::NoProgress quiet;
    const Findings findings(changed, quiet);
    bool guarded = true;
    for (const CheckRow& row : evaluate(CheckId::fuse_guard, findings)) {
      if (row.door == door && row.verdict != Verdict::holds) guarded = false;
    }
    if (!guarded) continue;
    if (Retry::passes(changed, CheckId::fuse_carry, std::nullopt, part) &&
        Retry::passes(changed, CheckId::fuse_load, std::nullopt, part)) {
      return part_change(door_pointer(door, "fuse"), nullptr, fuse, "a fuse of its own in this door run");
    }
  }
  return std::nullopt;
}

/// Which door's fuse a fuse row means: none for the main fuse.
std::optional<std::size_t> fuse_door(const model::Study& study, const CheckRow& row) {
  for (std::size_t k = 0; k < study.job.doors.size(); ++k) {
    if (study.doors[k].fuse && row.part == door_fuse_name(study.job.doors[k])) return k;
  }
  return std::nullopt;
}

Cure cure_guard(const Retry& retry) {
  const CheckRow& row = retry.row();
  if (!row.door) {
    return first_of({[&] { return other_fuse(retry, std::nullopt, false); }, [&] { return thicker_feed(retry); }});
  }
  return first_of({[&] { return own_fuse(retry, *row.door); },
                   [&]() -> Cure {
                     if (row.verdict == Verdict::tight) return std::nullopt;  // a smaller fuse must cure, not shift it
                     return thicker_branch(retry, *row.door);
                   },
                   [&]() -> Cure {
                     const bool own = retry.study().doors[*row.door].fuse != nullptr;
                     return own && row.verdict == Verdict::fails ? other_fuse(retry, row.door, false) : std::nullopt;
                   }});
}

Cure cure_clear(const Retry& retry) {
  const auto door = fuse_door(retry.study(), retry.row());
  return first_of({[&] { return other_fuse(retry, door, false); },
                   [&] { return door ? thicker_branch(retry, *door) : Cure{}; },
                   [&] { return thicker_feed(retry); }});
}

Cure cure_relay(const Retry& retry) {
  const auto& now = retry.study().feed.relay;
  for (const auto& relay : larger_relays(*retry.study().catalogue, now)) {
    if (retry.cures(retry.with([&](model::Job& job) { job.feed.relay = relay->id; }))) {
      return part_change("/feed/relay", now, relay, "a stronger relay");
    }
  }
  return std::nullopt;
}

}  // namespace

std::optional<Change> find_cure(const CheckRow& row, const Findings& findings) {
  const Retry retry(row, findings);
  switch (row.id) {
    case CheckId::stroke:
      return first_of({[&] { return other_actuator(retry, *row.door); },
                       [&]() -> Cure {
                         return Change{door_pointer(*row.door, "actuator"), *row.have, *row.need,
                                       fmt::format("an actuator with at least {} mm of travel", significant(*row.need))};
                       }});
    case CheckId::force:
      return first_of({[&] { return thicker_branch(retry, *row.door); }, [&] { return thicker_feed(retry); },
                       [&] { return other_actuator(retry, *row.door); }, [&] { return weaker_rod(retry, *row.door); }});
    case CheckId::throw_time:
      return cure_throw_time(retry);
    case CheckId::lockout:
      return cure_lockout(retry);
    case CheckId::winding:
      return cure_winding(retry);
    case CheckId::winding_fault:
    case CheckId::ptc_rating:
      return other_actuator(retry, *row.door);
    case CheckId::volt_drop:
      return first_of({[&] { return thicker_branch(retry, *row.door); }, [&] { return thicker_feed(retry); }});
    case CheckId::wire_heat:
      return row.door ? thicker_branch(retry, *row.door) : thicker_feed(retry);
    case CheckId::fuse_load:
    case CheckId::fuse_carry:
      return other_fuse(retry, fuse_door(retry.study(), row), true);
    case CheckId::fuse_clear:
      return cure_clear(retry);
    case CheckId::fuse_guard:
      return cure_guard(retry);
    case CheckId::relay:
      return cure_relay(retry);
  }
  return std::nullopt;
}

}  // namespace latchwright::verdict
