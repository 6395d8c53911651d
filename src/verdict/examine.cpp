// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/examine.h"

#include <algorithm>

#include "base/failure.h"
#include "base/worker_pool.h"
#include "verdict/cure.h"

namespace latchwright::verdict {

Examination examine(const model::Study& study, unsigned workers, base::Progress& progress) {
  base::require(study.complete(), "an unfinished job cannot be checked");
  const Findings findings(study, progress);
  findings.prepare(workers);
  Examination result;
  for (const CheckInfo& check : check_infos()) {
    const Rows rows = evaluate(check.id, findings);
    result.all.insert(result.all.end(), rows.begin(), rows.end());
  }
  result.worst = worst_rows(result.all);

  std::vector<std::size_t> to_cure;
  for (std::size_t k = 0; k < result.worst.size(); ++k) {
    const CheckRow& row = result.worst[k];
    const bool guard_cure = row.id == CheckId::fuse_guard && row.verdict == Verdict::tight;
    if (row.verdict == Verdict::fails || guard_cure) to_cure.push_back(k);
  }
  base::for_each_index(to_cure.size(), workers, [&](std::size_t n) {
    if (progress.cancelled()) throw base::Cancelled();
    CheckRow& row = result.worst[to_cure[n]];
    row.change = find_cure(row, findings);
    progress.report(1.0, "looking for cures");
  });
  for (CheckRow& row : result.all) {
    for (const CheckRow& cured : result.worst) {
      if (row.id == cured.id && row.door == cured.door && row.part == cured.part &&
          row.verdict != Verdict::holds && cured.change) {
        row.change = cured.change;
      }
    }
  }
  const auto weakest = std::min_element(result.worst.begin(), result.worst.end(), worse);
  result.weakest = static_cast<std::size_t>(weakest - result.worst.begin());
  result.pass = weakest->verdict != Verdict::fails;
  result.prove = readings_to_prove(study);
  return result;
}

}  // namespace latchwright::verdict
