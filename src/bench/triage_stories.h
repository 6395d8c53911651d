// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

// What is told from memory, and what it may have been: minutes since its last use, and throws before that.
// Spreads are choices (docs/model.md section 11).
namespace latchwright::bench {

/// Share of stories that have nothing to do with what happened.
inline constexpr double story_wrong = 0.05;
/// Share of actuators that somebody has held until they tripped, where no throws were told.
inline constexpr double tried_until_tripped = 0.3;

/// Chance that the rest was shorter than `seconds`, where told_min was told: some seconds off near 0, about a
/// third else. Grows with seconds, falls with told_min.
double rest_shorter(double told_min, double seconds);
/// The same where nothing was told.
double rest_shorter(double seconds);

/// Throws that were made where `told` were told; place: 0..1 of those who tell so. 0 only of 0.
int made_throws(int told, double place);

/// Chance that after so many throws as told it was held until it tripped: who plays with it goes on when it
/// stops, who pressed twice does not.
double held_after(int told);

}  // namespace latchwright::bench
