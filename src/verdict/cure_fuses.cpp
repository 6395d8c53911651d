// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include "base/text.h"
#include "verdict/cure_ways.h"
#include "verdict/fuse_duty.h"

// Other fuses: larger ones for the load, smaller ones for the wires, a fuse of its own for a door run.
namespace latchwright::verdict {

namespace {

using Door = std::optional<std::size_t>;

model::Study with_fuse(const Retry& retry, Door door, const model::PartPtr& fuse) {
  return retry.with([&](model::Job& job) {
    if (door) {
      job.doors[*door].fuse = model::PartRef{fuse->id};
    } else {
      job.feed.fuse = fuse->id;
    }
  });
}

/// Which door's fuse a fuse row means: none for the main fuse.
Door fuse_door(const Retry& retry) {
  const model::Study& study = retry.study();
  for (std::size_t k = 0; k < study.job.doors.size(); ++k) {
    if (study.doors[k].fuse && retry.row().part == door_fuse_name(study.job.doors[k])) return k;
  }
  return std::nullopt;
}

/// A study with another fuse at this place, and that fuse.
struct Fitted {
  Fitted(const model::Study& changed, Door door) : findings(changed, quiet) {
    for (FuseSubject& each : fuses_of(changed)) {
      if (each.door == door) fuse = std::move(each);
    }
  }
  // The pulses first: a small fuse fails there at the first corner.
  bool bears_use() const { return bears(false) && bears(true); }
  /// The load in the mean (fuse_load), or the pulses (fuse_carry).
  bool bears(bool load) const { return load ? bears_load(findings, *fuse) : carries_pulses(findings, *fuse); }

  base::NoProgress quiet;
  Findings findings;
  std::optional<FuseSubject> fuse;
};

/// Whether no short circuit goes uncleared and no wire unprotected that is not so already.
bool as_safe(const Findings& now, const Findings& then) {
  for (const CheckId id : {CheckId::fuse_clear, CheckId::fuse_guard}) {
    const Rows before = evaluate(id, now);
    for (const CheckRow& row : evaluate(id, then)) {
      if (row.verdict != Verdict::fails) continue;
      const bool failed_before = std::any_of(before.begin(), before.end(), [&](const CheckRow& b) {
        return b.door == row.door && b.part == row.part && b.verdict == Verdict::fails;
      });
      if (!failed_before) return false;
    }
  }
  return true;
}

double rating_of(const model::PartPtr& fuse) { return std::get<model::Fuse>(fuse->body).rating_A; }

/// The largest fuse below this one, of its family, that cures the row and still carries the load.
Found smaller_fuse(const Retry& retry, Door door) {
  const auto& now = door ? retry.study().doors[*door].fuse : retry.study().feed.fuse;
  auto fuses = family_fuses(*retry.study().catalogue, now);
  std::reverse(fuses.begin(), fuses.end());
  for (const auto& fuse : fuses) {
    if (rating_of(fuse) >= rating_of(now)) continue;
    const model::Study changed = with_fuse(retry, door, fuse);
    if (!retry.cures(changed)) continue;
    // What one does not bear, the next smaller one does not either.
    if (!Fitted(changed, door).bears_use()) return std::nullopt;
    return part_change(door ? door_pointer(*door, "fuse") : "/feed/fuse", now, fuse, "a smaller fuse");
  }
  return std::nullopt;
}

/// A fuse of its own for a door run that only the main fuse protects: the smallest that carries the load. It
/// must protect the run whole.
Found own_fuse(const Retry& retry, std::size_t door) {
  const model::Study& study = retry.study();
  if (study.doors[door].fuse) return std::nullopt;
  const std::string part = door_fuse_name(study.job.doors[door]);
  for (const auto& fuse : family_fuses(*study.catalogue, study.feed.fuse)) {
    const model::Study changed = with_fuse(retry, door, fuse);
    const Fitted fitted(changed, door);
    const Rows guards = evaluate(CheckId::fuse_guard, fitted.findings);
    const Rows clears = evaluate(CheckId::fuse_clear, fitted.findings);
    const bool protects =
        std::all_of(guards.begin(), guards.end(),
                    [&](const CheckRow& row) { return row.door != door || row.verdict == Verdict::holds; }) &&
        std::all_of(clears.begin(), clears.end(),
                    [&](const CheckRow& row) { return row.part != part || row.verdict != Verdict::fails; });
    if (protects && retry.cures(changed) && fitted.bears_use()) {
      return part_change(
          door_pointer(door, "fuse"), nullptr, fuse,
          "a fuse of its own in the door run of " + base::printable(retry.study().job.doors[door].name));
    }
  }
  return std::nullopt;
}

/// The smallest fuse above this one, of its family, that cures the row and leaves no wire without protection.
Found larger_fuse(const Retry& retry, Door door) {
  const auto& now = door ? retry.study().doors[*door].fuse : retry.study().feed.fuse;
  for (const auto& fuse : family_fuses(*retry.study().catalogue, now)) {
    if (rating_of(fuse) <= rating_of(now)) continue;
    const model::Study changed = with_fuse(retry, door, fuse);
    const Fitted fitted(changed, door);
    if (fitted.bears(retry.row().id == CheckId::fuse_load) && as_safe(retry.findings(), fitted.findings)) {
      return part_change(door ? door_pointer(*door, "fuse") : "/feed/fuse", now, fuse, "a larger fuse");
    }
  }
  return std::nullopt;
}

}  // namespace

Ways fuse_duty_ways(const Retry& retry) {
  const Door door = fuse_door(retry);
  // Less current for the same fuse: whether it bears is found as cheaply at once as by halves.
  const Passes bears = [door, load = retry.row().id == CheckId::fuse_load](const model::Study& changed) {
    return Fitted(changed, door).bears(load);
  };
  return {{[&retry, door] { return larger_fuse(retry, door); }},
          {[&retry, bears] { return shorter_pulse(retry, bears, bears); }},
          {[&retry, bears] { return longer_gap(retry, bears, bears); }}};
}

Ways fuse_clear_ways(const Retry& retry) {
  const Door door = fuse_door(retry);
  const auto fuses = fuses_of(retry.study());
  const auto subject =
      std::find_if(fuses.begin(), fuses.end(), [&](const auto& fuse) { return fuse.door == door; });
  const auto wires = wires_of(retry.findings(), fuses);
  // Where the current is smallest there is most to gain.
  const Door run =
      smallest_short(retry.findings(), wires, static_cast<std::size_t>(subject - fuses.begin())).door;
  Ways ways;
  if (run) ways.push_back({[&retry, d = *run] { return own_fuse(retry, d); }});
  ways.push_back({[&retry, door] { return smaller_fuse(retry, door); }});
  if (run) ways.push_back({[&retry, d = *run] { return thicker_branch(retry, d); }});
  ways.push_back({[&retry] { return thicker_feed(retry); }});
  return ways;
}

Ways fuse_guard_ways(const Retry& retry) {
  const Way smaller_main{[&retry] { return smaller_fuse(retry, std::nullopt); }};
  if (!retry.row().door) return {smaller_main, {[&retry] { return thicker_feed(retry); }}};
  const std::size_t door = *retry.row().door;
  const Way thicker{[&retry, door] { return thicker_branch(retry, door); }};
  const bool own = retry.study().doors[door].fuse != nullptr;
  if (own) return {{[&retry, door] { return smaller_fuse(retry, door); }}, thicker};
  return {{[&retry, door] { return own_fuse(retry, door); }}, thicker, smaller_main};
}

}  // namespace latchwright::verdict
