// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>

#include "choose/candidates.h"
#include "choose/current_log.h"
#include "verdict/check_row.h"
#include "verdict/findings.h"

namespace latchwright::choose {

/// What the wanted cycles ask of any fuse of a set: one simulation a condition, every fuse held against it.
class FuseDemand {
 public:
  /// At usual and high voltage and every ambient: low voltage never asks more of a fuse.
  explicit FuseDemand(const verdict::Findings& findings, unsigned workers = 1);

  /// The worst row of fuse_load and fuse_carry for a fuse in the run of `door`, or as the main fuse; without
  /// text.
  verdict::CheckRow worst_row(const model::PartPtr& fuse, std::optional<std::size_t> door) const;

 private:
  const verdict::Findings& findings_;
  std::array<std::array<CurrentLog, verdict::levels>, verdict::levels - verdict::usual_level> logs_;
};

/// Puts into each of the open places for fuses the smallest rating that carries the wanted cycles with
/// margins above tight, else the smallest that carries them at all, else the largest; and into an open
/// relay's place the smallest that may switch the stall current, likewise. `study` is complete; what sits in
/// those places is where the currents are taken from.
void choose_fuses_and_relay(model::Study& study, const std::vector<model::Place>& open,
                            const Candidates& candidates, unsigned workers = 1,
                            const std::vector<model::Place>& spare = {});

}  // namespace latchwright::choose
