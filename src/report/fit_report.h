// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "bench/fit.h"
#include "model/parts.h"
#include "report/picture.h"
#include "report/result_head.h"
#include "report/text_table.h"

namespace latchwright::report {

struct FitReport {
  bench::Fit fit;
  std::optional<model::Part> part;  ///< the measured one; none where the fit is refused
  std::string like;                 ///< id of the part that it is like
  model::HandReadings hand;
};

/// The part that a fit makes: the like part's title and price set aside, `source.kind` measured, the note
/// naming the logs and what was kept.
model::Part measured_part(const bench::Fit& fit, const model::Part& like, const model::HandReadings& hand);

/// What is told of a fit. One that leads a figure out of what a part may have is refused too.
FitReport make_fit_report(bench::Fit fit, const model::Part& like, const model::HandReadings& hand);

model::Raw fit_json(const FitReport& report);
std::string fit_text(const FitReport& report);
/// `log,time_s,measured_A,fitted_A,residual_A`, times from power on.
std::string fit_csv(const FitReport& report);
/// Measured and fitted current over time, and what is left over.
std::vector<Picture> fit_pictures(const FitReport& report);
/// A parts file that holds the one part.
model::Raw parts_file(const model::Part& part);

}  // namespace latchwright::report
