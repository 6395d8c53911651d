// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "base/issue.h"
#include "report/result_head.h"
#include "report/text_table.h"
#include "spread/spread.h"

namespace latchwright::report {

struct SpreadReport {
  std::string title;  ///< of the job
  bool invented_parts = false;
  spread::SpreadTally tally;
  spread::SpreadResult result;  ///< what the tally says
};

/// One of several slices also carries its tally, so that join can put them together.
model::Raw spread_json(const SpreadReport& report);
std::string spread_text(const SpreadReport& report, const Style& style);
/// Shares of the installations by figure and bin.
std::string spread_csv(const spread::SpreadResult& result);

/// What the result means for whoever fits or sells the installation: chances first, then what matters most
/// and what tightening buys; that it was stopped early, or is a slice, last.
std::vector<std::string> spread_sentences(const spread::SpreadResult& result);

/// A chance between 0 and 1 in percent without the sign, so many digits from whichever of 0 and 100 is
/// nearer.
std::string percent_text(double chance, int digits);
/// "12 % (10.6 to 13.5 %)"; "less than 0.2 %" where nothing was counted, "more than 99.8 %" where everything
/// was.
std::string chance_text(const spread::Chance& chance);

/// The JSON of a slice back to what it was made from, `result` included. Faults: no result of spread, none of
/// a slice, of another version of the program, damaged.
base::Checked<SpreadReport> read_slice(const model::Raw& raw, const std::string& file);

}  // namespace latchwright::report
