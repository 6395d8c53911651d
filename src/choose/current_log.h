// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "physics/fuse_bounds.h"
#include "sim/segment.h"

// Currents of the wanted cycles, kept so that many fuses can be held against one simulation.
namespace latchwright::choose {

class CurrentLog final : public sim::Observer {
 public:
  void segment(const sim::Segment& segment) override;

  /// Root mean square of the current over everything seen, A. door: whose run; none: all doors.
  double rms_A(std::optional<std::size_t> door) const;
  /// The largest state of the quickest fuse (docs/model.md section 7). other_A: what else it carries, for
  /// long.
  double quickest_y(const physics::FuseBounds& fuse, double ambient_C, std::optional<std::size_t> door,
                    double other_A) const;

 private:
  /// A stretch in which currents run straight from one sample to the next; a rest has none.
  struct Stretch {
    double seconds;
    bool driven;
  };
  double current(std::optional<std::size_t> door, std::size_t sample) const;

  std::vector<Stretch> stretches_;
  std::vector<std::vector<double>> samples_;  ///< by door, two a driven stretch: its begin and its end
  sim::State state_;
};

}  // namespace latchwright::choose
