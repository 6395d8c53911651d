// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "verdict/cure_search.h"

// The ways in which a row may be cured: each gives the smallest change of its kind that does, or none.
namespace latchwright::verdict {

using Found = std::optional<Change>;
/// Whether the row in question passes in a changed study.
using Passes = std::function<bool(const model::Study&)>;

/// One way to look for a cure.
struct Way {
  std::function<Found()> find;
  /// Ways of the same list, by index, none of which is itself a last resort: this one is, and is looked for
  /// only where none of them leads anywhere.
  std::vector<std::size_t> unless{};
};
/// Nearest first: the first that leads anywhere is the one to name.
using Ways = std::vector<Way>;

/// Every way that is sensible for the row of `retry`, which must outlive them.
Ways ways_of(const Retry& retry);

/// Numbers rounded to a thousandth.
Change number_change(std::string pointer, double now, double passes_at, std::string text);
Change part_change(std::string pointer, const model::PartPtr& now, const model::PartPtr& then,
                   std::string what);

// Other parts and runs (cure_parts.cpp).
Found thicker_branch(const Retry& retry, std::size_t door);
Found thicker_feed(const Retry& retry);
/// Another actuator that also passes stroke, force and ptc_rating; passes: what it must cure, the row's own
/// check where none is named.
Found other_actuator(const Retry& retry, std::size_t door, const Passes& passes);
Found other_actuator(const Retry& retry, std::size_t door);
/// The door run cut to a whole 0.1 m, else the feed.
Found shorter_run(const Retry& retry, std::size_t door);
Found weaker_rod(const Retry& retry, std::size_t door);
/// In words: no actuator of the catalogue travels far enough.
Found longer_travel(const Retry& retry, std::size_t door);
Found larger_relay(const Retry& retry);

// Pulse, gap and promised cycles (cure_use.cpp).
/// A shorter pulse, to 0.01 s, but long enough for every throw at every corner. quick: what must hold for
/// full to hold, found with less work; it leads the search.
Found shorter_pulse(const Retry& retry, const Passes& quick, const Passes& full);
/// A longer gap, to 0.1 s and up to 60 s.
Found longer_gap(const Retry& retry, const Passes& quick, const Passes& full);
Ways throw_time_ways(const Retry& retry);
Ways lockout_ways(const Retry& retry);
Ways winding_ways(const Retry& retry);

// Fuses (cure_fuses.cpp).
Ways fuse_duty_ways(const Retry& retry);
Ways fuse_clear_ways(const Retry& retry);
Ways fuse_guard_ways(const Retry& retry);

}  // namespace latchwright::verdict
