// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/examine.h"

#include <algorithm>

#include "base/failure.h"
#include "verdict/cure_moves.h"

namespace latchwright::verdict {

Examination examine(const model::Study& study, unsigned workers, base::Progress& progress,
                    const std::function<void(const Examination&)>& judged) {
  base::require(study.complete(), "an unfinished job cannot be checked");
  Findings findings(study, progress);
  findings.prepare(workers);
  Examination result;
  result.all = evaluate_all(findings, workers);
  result.worst = worst_rows(result.all);
  const auto weakest = std::min_element(result.worst.begin(), result.worst.end(), worse);
  result.weakest = static_cast<std::size_t>(weakest - result.worst.begin());
  result.pass = weakest->verdict != Verdict::fails;
  result.prove = readings_to_prove(study);
  if (judged) judged(result);
  cure_rows(result.worst, findings, workers);
  for (CheckRow& row : result.all) {
    for (const CheckRow& cured : result.worst) {
      if (row.id == cured.id && row.door == cured.door && row.part == cured.part &&
          row.verdict != Verdict::holds && cured.change) {
        row.change = cured.change;
        if (row.verdict == Verdict::fails) row.cures = cured.cures;
      }
    }
  }
  return result;
}

}  // namespace latchwright::verdict
