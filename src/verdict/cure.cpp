// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/cure.h"

#include <fmt/format.h>

#include <cmath>

#include "base/text.h"
#include "verdict/cure_ways.h"

namespace latchwright::verdict {

using base::significant;

Cure first_of(std::initializer_list<std::function<Cure()>> ways) {
  for (const auto& way : ways) {
    if (Cure cure = way()) return cure;
  }
  return std::nullopt;
}

Change number_change(std::string pointer, double now, double passes_at, std::string text) {
  return {std::move(pointer), tidy(now), tidy(passes_at), std::move(text)};
}

Change part_change(std::string pointer, const model::PartPtr& now, const model::PartPtr& then, std::string what) {
  return {std::move(pointer), now ? Setting(now->id) : Setting(), then->id,
          fmt::format("{}: {} ({})", what, then->title, then->id)};
}

namespace {

/// The first wire of the list that cures. More copper never hurts these checks: where the thickest does not help,
/// none of them need be tried.
Cure first_wire(const Retry& retry, const model::PartPtr& now, const std::string& pointer, const std::string& what,
                const std::function<void(model::Job&, const std::string&)>& fit) {
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

Cure thicker_branch(const Retry& retry, std::size_t door) {
  return first_wire(retry, retry.study().doors[door].wire, door_pointer(door, "wire"), "a thicker door run",
                    [door](model::Job& job, const std::string& id) { job.doors[door].wire = id; });
}

Cure thicker_feed(const Retry& retry) {
  return first_wire(retry, retry.study().feed.wire, "/feed/wire", "a thicker feed",
                    [](model::Job& job, const std::string& id) { job.feed.wire = id; });
}

Cure other_actuator(const Retry& retry, std::size_t door) {
  const auto& now = retry.study().doors[door].actuator;
  for (const auto& actuator : other_actuators(*retry.study().catalogue, now)) {
    const model::Study changed = retry.with([&](model::Job& job) { job.doors[door].actuator = actuator->id; });
    // It must do the door's work too: cheap checks first.
    bool fits = true;
    for (const CheckId id : {CheckId::stroke, CheckId::force, CheckId::ptc_rating}) {
      fits = fits && Retry::passes(changed, id, door);
    }
    if (fits && retry.cures(changed)) {
      return part_change(door_pointer(door, "actuator"), now, actuator, "another actuator");
    }
  }
  return std::nullopt;
}

namespace {

/// The strength of the rod's load that the actuator could bear; the whole load scales with the row's margin.
Cure weaker_rod(const Retry& retry, std::size_t door) {
  const double percent = std::floor(100 * retry.row().margin.value_or(0) - 1e-9);
  if (percent < 1) return std::nullopt;
  const auto& job_door = retry.study().job.doors[door];
  const std::string text = fmt::format("free the linkage: the rod's force down to {} % of what it is", percent);
  const double peak = job_door.rod_force.peak;
  // One number says it where one number makes the load, and the rest of the load stays below it.
  const bool one_force = job_door.rod_force.shape != model::RodShape::table && !job_door.rod_force_unlock &&
                         job_door.rod_force.friction <= peak * percent / 100;
  if (!one_force) return Change{door_pointer(door, "rod_force"), {}, {}, text};
  return number_change(door_pointer(door, "rod_force/peak_N"), peak, peak * percent / 100, text);
}

/// No actuator of the catalogue will do: what to look for.
Cure longer_travel(const Retry& retry, std::size_t door) {
  return Change{door_pointer(door, "actuator"), retry.study().doors[door].actuator->id, {},
                fmt::format("an actuator with at least {} mm of travel", significant(*retry.row().need))};
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
      return first_of({[&] { return other_actuator(retry, *row.door); }, [&] { return longer_travel(retry, *row.door); }});
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
      return cure_fuse_duty(retry);
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
