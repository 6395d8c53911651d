// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>

#include "report/pictures.h"
#include "report/run_links.h"

// A look at one condition, beside the verdict over all corners: what happens there, and pictures of one link.
namespace latchwright::report {

struct LookAt {
  double voltage_V = 0;
  double ambient_C = 0;
  double on_s = 0;
  double gap_s = 0;
  int cycles = 0;
  bool after_trip = false;

  friend bool operator==(const LookAt&, const LookAt&) = default;
};

/// The job's usual condition.
LookAt usual_look(const model::Study& study);

struct Look {
  LookAt at;
  bool holds = true;     ///< no throw was missed
  std::string sentence;  ///< "3 of 10 cycles, then front right stops working until it cools: ready after 7 s"
  std::vector<Picture> pictures;  ///< of the link, the most telling first
};

/// What repeated locking gives at this condition, then the link's pictures. `told` is called once, on the
/// calling thread, long before the pictures are there (they are still empty); after a lockout its sentence
/// does not yet say how long the rest is that brings the throw back: that of the returned look does. Where
/// the ambient is the job's hot one, the feed lies at feed.hot_C, as in the checks. The study must be
/// complete. Throws base::Cancelled.
Look take_look(const model::Study& study, const Link& link, const LookAt& at, unsigned workers,
               base::Progress& progress, const std::function<void(const Look&)>& told = {});

}  // namespace latchwright::report
