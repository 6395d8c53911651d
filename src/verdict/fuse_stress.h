// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "physics/fuse_bounds.h"
#include "sim/segment.h"

namespace latchwright::verdict {

/// Follows the currents of an installation's fuses through a study: mean square for their loading, the quickest fuse's
/// state for whether they may blow (docs/model.md section 7).
class FuseStress final : public sim::Observer {
 public:
  /// door: of the circuit, whose branch fuse this is; none: the main fuse, which carries all doors and other_A.
  /// The other load has been on for long when the study begins. Fuses are numbered in the order in which they come.
  void add(const physics::FuseBounds& bounds, double ambient_C, std::optional<std::size_t> door, double other_A);

  void segment(const sim::Segment& segment) override;

  double rms_A(std::size_t fuse) const;  ///< of the doors' current alone, over everything seen
  double largest_y(std::size_t fuse) const { return fuses_[fuse].element.peak(); }

 private:
  static constexpr int pieces = 4;  // of a segment
  struct Followed {
    physics::QuickestFuse element;
    std::optional<std::size_t> door;
    double other_A;
    double square_sum = 0;  // A²s
  };
  static double current(const sim::PerDoor<double>& doors, const Followed& fuse);

  std::vector<Followed> fuses_;
  double seconds_ = 0;
  sim::State scratch_;
  std::array<sim::PerDoor<double>, pieces + 1> currents_;
};

}  // namespace latchwright::verdict
