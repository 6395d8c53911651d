// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "verdict/checks.h"

// Which fuses an installation has, which wires each of them guards, and the rows of one fuse at one corner.
namespace latchwright::verdict {

struct FuseSubject {
  std::string name;
  physics::FuseBounds bounds;
  std::optional<std::size_t> door;  ///< whose branch fuse; none: the main fuse
  double other_A;                   ///< what else it carries
};

/// The main fuse first, then the branch fuses in the order of the doors.
std::vector<FuseSubject> fuses_of(const model::Study& study);

/// A wire and the fuse that stands next upstream of it.
struct GuardedWire {
  std::optional<std::size_t> door;  ///< none: the feed
  const model::Wire* wire;
  double bundle_factor;
  double hot_C;
  std::size_t fuse;  ///< index into fuses_of
};

/// The feed first, then every door run.
std::vector<GuardedWire> wires_of(const Findings& findings, const std::vector<FuseSubject>& fuses);

/// The smallest bolted short among the wires that a fuse is nearest to.
struct SmallestShort {
  double current_A;
  std::optional<std::size_t> door;  ///< in whose run; none: in the feed
};
SmallestShort smallest_short(const Findings& findings, const std::vector<GuardedWire>& wires,
                             std::size_t fuse);

CheckRow fuse_load_row(const Findings& findings, const FuseSubject& fuse, std::size_t ambient_level);
CheckRow fuse_carry_row(const Findings& findings, const FuseSubject& fuse, std::size_t voltage_level,
                        std::size_t ambient_level);

}  // namespace latchwright::verdict
