// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "verdict/checks.h"

// What a cure does to the other checks.
namespace latchwright::verdict {

/// The study of the job with the change's setting at its pointer, as if the user had written it into the
/// file. The change must have a setting.
model::Study changed_study(const model::Study& study, const Change& change);

/// The worst row of every check and subject, without figures that no margin needs, simulated on `workers`
/// threads. Throws base::Cancelled.
Rows worst_of(const model::Study& study, unsigned workers, base::Progress& progress);

/// How the subjects other than the cured one move between two sets of worst rows: those whose verdict
/// changes, whose margin does by more than 1 %, or that are new. In the order of `then`.
std::vector<Move> moves_between(const CheckRow& cured, const Rows& now, const Rows& then);

/// Gives every failing row of `worst` its cures, those that break nothing first, and the first of them as its
/// change; a tight fuse_guard row its nearest change. `findings`: of the job as it stands. The result does
/// not depend on the number of workers. Throws base::Cancelled.
void cure_rows(Rows& worst, const Findings& findings, unsigned workers);

}  // namespace latchwright::verdict
