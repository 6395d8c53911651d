// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "physics/fuse_bounds.h"
#include "sim/segment.h"

namespace latchwright::verdict {

/// Follows the current of one fuse through a study: mean square for its loading, the quickest fuse's state for
/// whether it may blow (docs/model.md section 7).
class FuseStress {
 public:
  /// door: of the circuit, whose branch fuse this is; none: the main fuse, which carries all doors and other_A.
  /// The other load has been on for long when the study begins.
  FuseStress(const physics::FuseBounds& bounds, double ambient_C, std::optional<std::size_t> door, double other_A);

  /// Power off for so long.
  void rest(double seconds);
  /// Power on: full states, equally spaced over so long, at least two.
  void pulse(const std::vector<sim::State>& samples, double seconds);

  double rms_A() const;  ///< of the doors' current alone, over everything seen
  double largest_y() const { return fuse_.peak(); }

 private:
  double current(const sim::State& full) const;

  physics::QuickestFuse fuse_;
  std::optional<std::size_t> door_;
  double other_A_;
  double square_sum_ = 0;  // A²s
  double seconds_ = 0;
};

/// Follows all fuses of an installation: they share the samples, which cost more than the fuses.
class FuseStresses final : public sim::Observer {
 public:
  void follow(FuseStress fuse) { fuses_.push_back(std::move(fuse)); }
  void segment(const sim::Segment& segment) override;
  /// In the order of follow().
  const FuseStress& operator[](std::size_t n) const { return fuses_[n]; }

 private:
  std::vector<FuseStress> fuses_;
  std::vector<sim::State> samples_ = std::vector<sim::State>(5);
};

}  // namespace latchwright::verdict
