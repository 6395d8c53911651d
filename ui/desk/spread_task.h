// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/progress.h"
#include "model/study.h"
#include "report/picture.h"
#include "spread/map.h"
#include "spread/spread.h"

// The two computations of the chances page, on all cores, with what they say and draw. For the threads of
// LatestTask.
namespace latchwright::desk {

struct ChancesFound {
  spread::SpreadResult result;
  std::vector<std::string> sentences;
  std::vector<report::Picture> pictures;
};
/// When progress is cancelled: of the installations that are done by then; none where none is.
std::optional<ChancesFound> find_chances(const model::Study& study, const spread::SpreadPlan& plan,
                                         base::Progress& progress);

struct MapFound {
  spread::LockoutMap map;
  std::vector<std::string> sentences;
  std::vector<report::Picture> pictures;
};
/// Throws base::Cancelled.
MapFound find_map(const model::Study& study, const spread::MapPlan& plan, base::Progress& progress);

}  // namespace latchwright::desk
