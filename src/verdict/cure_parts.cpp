// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "verdict/cure_ways.h"

// Other parts and other runs: wires, actuators, the relay, lengths, the linkage.
namespace latchwright::verdict {

using base::exact_text;
using base::significant;

Change number_change(std::string pointer, double now, double passes_at, std::string text) {
  return {std::move(pointer), tidy(now), tidy(passes_at), std::move(text)};
}

Change part_change(std::string pointer, const model::PartPtr& now, const model::PartPtr& then,
                   std::string what) {
  return {std::move(pointer), now ? Setting(now->id) : Setting(), then->id,
          fmt::format("{}: {} ({})", what, then->title, then->id)};
}

namespace {

/// The first wire of the list that cures. More copper never hurts these checks: where the thickest does not
/// help, none of them need be tried.
Found first_wire(const Retry& retry, const model::PartPtr& now, const std::string& pointer,
                 const std::string& what, const std::function<void(model::Job&, const std::string&)>& fit) {
  const auto wires = thicker_wires(*retry.study().catalogue, now);
  const auto cures = [&](const model::PartPtr& wire) {
    return retry.cures(retry.with([&](model::Job& job) { fit(job, wire->id); }));
  };
  const auto thickest = std::max_element(wires.begin(), wires.end(), [](const auto& a, const auto& b) {
    return std::get<model::Wire>(a->body).area < std::get<model::Wire>(b->body).area;
  });
  if (thickest == wires.end() || !cures(*thickest)) return std::nullopt;
  for (const auto& wire : wires) {
    if (cures(wire)) return part_change(pointer, now, wire, what);
  }
  return std::nullopt;
}

}  // namespace

Found thicker_branch(const Retry& retry, std::size_t door) {
  return first_wire(retry, retry.study().doors[door].wire, door_pointer(door, "wire"), "a thicker door run",
                    [door](model::Job& job, const std::string& id) { job.doors[door].wire = id; });
}

Found thicker_feed(const Retry& retry) {
  return first_wire(retry, retry.study().feed.wire, "/feed/wire", "a thicker feed",
                    [](model::Job& job, const std::string& id) { job.feed.wire = id; });
}

Found other_actuator(const Retry& retry, std::size_t door, const Passes& passes) {
  const auto& now = retry.study().doors[door].actuator;
  for (const auto& actuator : other_actuators(*retry.study().catalogue, now)) {
    const model::Study changed =
        retry.with([&](model::Job& job) { job.doors[door].actuator = actuator->id; });
    // It must do the door's work too: cheap checks first.
    bool fits = true;
    for (const CheckId id : {CheckId::stroke, CheckId::force, CheckId::ptc_rating}) {
      fits = fits && Retry::passes(changed, id, door);
    }
    if (fits && passes(changed)) {
      return part_change(door_pointer(door, "actuator"), now, actuator, "another actuator");
    }
  }
  return std::nullopt;
}

Found other_actuator(const Retry& retry, std::size_t door) {
  return other_actuator(retry, door, [&](const model::Study& changed) { return retry.cures(changed); });
}

namespace {

constexpr double length_step = 0.1;  // m

/// The longest length below the present one that cures. The shortest that is tried is one step: a run of no
/// length is none. Shorter runs never hurt these checks.
Found shorter(const Retry& retry, double now, const std::string& pointer, const char* what,
              const std::function<void(model::Job&, double)>& cut) {
  const auto cures = [&](double length) {
    return retry.cures(retry.with([&](model::Job& job) { cut(job, length); }));
  };
  if (now <= length_step || !cures(length_step)) return std::nullopt;
  const double up_to = tidy(std::ceil(now / length_step - 1e-9) * length_step);
  const double length = largest_passing(length_step, up_to, length_step, cures);
  return number_change(
      pointer, now, length,
      fmt::format("{}: {} m instead of {} m", what, exact_text(length), exact_text(tidy(now))));
}

}  // namespace

Found shorter_run(const Retry& retry, std::size_t door) {
  const model::Job& job = retry.study().job;
  if (Found run = shorter(
          retry, job.doors[door].branch_length, door_pointer(door, "branch_length_m"), "a shorter door run",
          [door](model::Job& changed, double length) { changed.doors[door].branch_length = length; })) {
    return run;
  }
  return shorter(retry, job.feed.length, "/feed/length_m", "a shorter feed",
                 [](model::Job& changed, double length) { changed.feed.length = length; });
}

/// The strength of the rod's load that the actuator could bear; the whole load scales with the row's margin.
Found weaker_rod(const Retry& retry, std::size_t door) {
  const double percent = std::floor(100 * retry.row().margin.value_or(0) - 1e-9);
  if (percent < 1) return std::nullopt;
  const auto& job_door = retry.study().job.doors[door];
  const std::string text =
      fmt::format("free the linkage: the rod's force down to {} % of what it is", percent);
  const double peak = job_door.rod_force.peak;
  // One number says it where one number makes the load, and the rest of the load stays below it.
  const bool one_force = job_door.rod_force.shape != model::RodShape::table && !job_door.rod_force_unlock &&
                         job_door.rod_force.friction <= peak * percent / 100;
  if (!one_force) return Change{door_pointer(door, "rod_force"), {}, {}, text};
  return number_change(door_pointer(door, "rod_force/peak_N"), peak, peak * percent / 100, text);
}

/// No actuator of the catalogue will do: what to look for.
Found longer_travel(const Retry& retry, std::size_t door) {
  return Change{door_pointer(door, "actuator"),
                retry.study().doors[door].actuator->id,
                {},
                fmt::format("an actuator with at least {} mm of travel", significant(*retry.row().need))};
}

Found larger_relay(const Retry& retry) {
  const auto& now = retry.study().feed.relay;
  for (const auto& relay : larger_relays(*retry.study().catalogue, now)) {
    if (retry.cures(retry.with([&](model::Job& job) { job.feed.relay = relay->id; }))) {
      return part_change("/feed/relay", now, relay, "a stronger relay");
    }
  }
  return std::nullopt;
}

}  // namespace latchwright::verdict
