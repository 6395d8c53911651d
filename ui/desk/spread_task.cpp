// SPDX-License-Identifier: GPL-3.0-or-later
#include "desk/spread_task.h"

#include "base/worker_pool.h"
#include "report/check_report.h"
#include "report/map_report.h"
#include "report/spread_pictures.h"
#include "report/spread_report.h"

namespace latchwright::desk {

std::optional<ChancesFound> find_chances(const model::Study& study, const spread::SpreadPlan& plan,
                                         base::Progress& progress) {
  const auto tally = spread::run_spread(study, plan, base::available_workers(), progress);
  if (tally.done == 0) return std::nullopt;
  ChancesFound found;
  found.result = spread::conclude(tally);
  found.sentences = report::spread_sentences(found.result);
  found.pictures = report::spread_pictures(found.result, study.job.title, report::uses_invented_parts(study));
  return found;
}

MapFound find_map(const model::Study& study, const spread::MapPlan& plan, base::Progress& progress) {
  MapFound found;
  found.map = spread::make_map(study, plan, base::available_workers(), progress);
  found.sentences = report::map_sentences(study, found.map);
  found.pictures = report::map_pictures(study, found.map);
  return found;
}

}  // namespace latchwright::desk
