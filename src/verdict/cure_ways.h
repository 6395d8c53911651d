// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "verdict/cure_search.h"

// The ways in which a row may be cured: each gives the smallest change of its kind that does, or none.
namespace latchwright::verdict {

using Cure = std::optional<Change>;

/// The first way that leads anywhere.
Cure first_of(std::initializer_list<std::function<Cure()>> ways);

Change number_change(std::string pointer, double now, double passes_at, std::string text);
Change part_change(std::string pointer, const model::PartPtr& now, const model::PartPtr& then,
                   std::string what);

// Wires and actuators (cure.cpp).
Cure thicker_branch(const Retry& retry, std::size_t door);
Cure thicker_feed(const Retry& retry);
Cure other_actuator(const Retry& retry, std::size_t door);

// Pulse, gap and promised cycles (cure_use.cpp).
Cure cure_throw_time(const Retry& retry);
Cure cure_lockout(const Retry& retry);
Cure cure_winding(const Retry& retry);

// Fuses (cure_fuses.cpp).
Cure cure_fuse_duty(const Retry& retry);
Cure cure_clear(const Retry& retry);
Cure cure_guard(const Retry& retry);

}  // namespace latchwright::verdict
