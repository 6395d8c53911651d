// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "base/infinity.h"
#include "bench/sound_reading.h"

// A sound actuator's readings and those of its scatter: bands about a figure, and how long one may be held
// for it (docs/model.md section 12).
namespace latchwright::bench {

/// The part as stated, and those that scatter about it.
struct Scattered {
  SoundReading usual;
  std::vector<std::vector<SoundReading>> causes;  ///< each with its ends
  double off_by_s = base::infinity;               ///< what has not tripped by then is switched off

  /// Held, until the winding is past its class; of an end, past what a fault permits: once on the bench that
  /// costs it no more than some of its life. `one` is `usual` itself or one of the ends.
  std::optional<double> limit_passed_s(const SoundReading& one) const;
  /// off_by_s as it should be (bench/sheet.h: off_by_share, longest_warm_hold_s); none: nothing passes a
  /// limit.
  std::optional<double> off_by() const;
  /// Whether this one may still be held at s: not yet to be switched off, or tripped in time; its winding
  /// within its limit.
  bool may_hold(const SoundReading& one, double s) const;
  bool tripped_in_time(const SoundReading& one) const { return one.trip_s && *one.trip_s <= off_by_s; }
  /// Whether one trips in time and may be held a little longer.
  bool held_past_trip(const SoundReading& one) const {
    return tripped_in_time(one) && may_hold(one, *one.trip_s + past_trip_s);
  }
  template <class Is>
  bool any_end(const Is& is) const {
    return std::any_of(causes.begin(), causes.end(),
                       [&is](const auto& ends) { return std::any_of(ends.begin(), ends.end(), is); });
  }
  template <class Take>
  void for_all(const Take& take) const {
    take(usual);
    for (const auto& ends : causes) std::for_each(ends.begin(), ends.end(), take);
  }
};

struct Band {
  double low = 0, high = 0;
};

/// How far a reading lies from the usual one: as a factor, whose logarithm this is; as a difference where
/// there is no factor to 0.
inline double apart(double usual, double value) {
  return usual > 0 ? std::log(value / usual) : value - usual;
}
inline double moved(double usual, double by) { return usual > 0 ? usual * std::exp(by) : usual + by; }

/// Ends without the figure count for nothing.
inline bool never_open(const SoundReading&) { return false; }

/// docs/model.md (12.1).
/// get: a figure of a reading, none where that one has none. An end without the figure leaves it open upwards
/// where `open` says so, and counts for nothing else.
template <class Get, class Open>
Band band_of(const Scattered& all, double usual, const Get& get, const Open& open) {
  double up = 0, down = 0;
  for (const auto& ends : all.causes) {
    double most = 0, least = 0;
    for (const SoundReading& end : ends) {
      const std::optional<double> value = get(end);
      if (!value && open(end)) most = base::infinity;
      if (!value) continue;
      most = std::max(most, apart(usual, *value));
      least = std::max(least, -apart(usual, *value));
    }
    up += most * most;
    down += least * least;
  }
  return {std::max(0.0, moved(usual, -std::sqrt(down))), moved(usual, std::sqrt(up))};
}

/// A figure of those that may be held for s.
template <class Get>
auto held_for(const Scattered& all, double s, const Get& get) {
  return [&all, s, get](const SoundReading& one) {
    return all.may_hold(one, s) ? std::optional<double>(get(one)) : std::nullopt;
  };
}

/// Of held currents: the least that any of these ever carries (two causes that have tripped it by then do not
/// make one that carries less than either), and by how much more than another one may carry as long as none
/// has tripped.
struct HeldLimits {
  double least_A = base::infinity;
  double up = 1;

  explicit HeldLimits(const Scattered& all);

  /// Where some have not tripped and the usual one has, factors between the two do not add up.
  template <class Get>
  Band limited(const Scattered& all, const Band& band, const Get& get) const {
    double most = 0;
    all.for_all([&](const SoundReading& one) { most = std::max(most, get(one).value_or(0)); });
    return {std::max(band.low, least_A), std::min(band.high, most * up)};
  }
};

}  // namespace latchwright::bench
