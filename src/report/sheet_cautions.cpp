// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "report/result_head.h"
#include "report/sheet_parts.h"
#include "report/sheet_sections.h"
#include "report/text_table.h"

namespace latchwright::report {

using base::exact_text;

namespace {

std::string percent(double share) { return exact_text(100 * share) + " %"; }

SheetList assumptions(const model::Study& study, const SheetFindings& findings) {
  const model::Job& job = study.job;
  SheetList list;
  auto& items = list.items;
  items.push_back(fmt::format(
      "Air in the doors {}, {} and {} °C (cold, usual, hot); where feed and fuses lie up to {} °C.",
      exact_text(job.climate.cold_C), exact_text(job.climate.usual_C), exact_text(job.climate.hot_C),
      exact_text(job.feed.hot_C)));
  items.push_back(fmt::format(
      "Battery {} V (weak), {} V (usual), {} V (charging) and {} V (high), each behind {} mΩ inside it; "
      "{} V while jump-starting.",
      exact_text(job.supply.low_V), exact_text(job.supply.usual_V), exact_text(job.supply.charge_V),
      exact_text(job.supply.high_V), base::significant(job.supply.internal_ohm * 1e3),
      exact_text(job.supply.jump_voltage())));
  items.push_back(
      "Lengths and rod forces are those of the job. A starting job holds typical run lengths (common "
      "practice, "
      "no source): only measured ones count.");
  items.push_back(fmt::format(
      "Readings of the whole installation may be off by {} V, {} K and the thermistors' tolerance.",
      exact_text(job.spread.voltage_V), exact_text(job.spread.ambient_C)));
  std::vector<std::pair<std::string, std::vector<std::string>>> scatters;  // words, whose they are
  for (const ActuatorBench& one : findings.actuators) {
    const std::string words = fmt::format("{}", fmt::join(one.report.sheet.scatter, "; "));
    const auto known = std::find_if(scatters.begin(), scatters.end(),
                                    [&](const auto& scatter) { return scatter.first == words; });
    if (known == scatters.end()) {
      scatters.emplace_back(words, std::vector{one.report.part});
    } else {
      known->second.push_back(one.report.part);
    }
  }
  for (const auto& [words, ids] : scatters) {
    items.push_back(
        fmt::format("Tolerances of {}: {}; each by itself to its ends, what they do added in quadrature.",
                    listed(ids), words));
  }
  items.push_back(
      "Cycles in a row are counted with thermistors that have tripped before and keep a raised resistance, "
      "all doors "
      "together and each alone, whichever is worse; everything starts at the air's temperature.");
  items.push_back(
      "Fuses open anywhere between the quickest and the slowest that their standard allows; a wire must bear "
      "the slowest, the locks' use the quickest.");
  items.push_back(fmt::format(
      "Limits of this job: force {} times what the rod takes ({} times on a weak battery), {} mm of travel "
      "to spare, {} % of the voltage lost in the wires, a short circuit cleared within {} s, fuses "
      "loaded to {}.",
      exact_text(job.limits.force_factor), exact_text(job.limits.force_factor_low),
      base::significant(job.limits.stroke_slack * 1e3), exact_text(job.limits.volt_drop_percent),
      exact_text(job.limits.clear_s), percent(job.limits.fuse_loading)));
  items.push_back(
      "Not looked at: fixing, water, chafing, the controller's own electronics, interference, unlocking "
      "after a crash.");
  return list;
}

}  // namespace

SheetSection cautions_section(const model::Study& study, const SheetFindings& findings) {
  SheetSection section{"cautions", "Cautions and assumptions", {}};
  auto& blocks = section.blocks;
  std::vector<std::string> lines = cautions();
  lines.push_back(
      "Moving rods and latches pinch; nobody works at a door while somebody else works its lock.");
  blocks.emplace_back(SheetNotice{SheetNotice::Kind::caution, "Before you touch the car", std::move(lines)});
  blocks.emplace_back(SheetHeading{"What the figures take for granted"});
  blocks.emplace_back(assumptions(study, findings));
  blocks.emplace_back(SheetHeading{"Where the figures of the parts come from"});
  blocks.emplace_back(source_notes(study));
  blocks.emplace_back(SheetHeading{"This sheet"});
  blocks.emplace_back(
      SheetParagraph{fmt::format("Made by Latchwright {} from the input with the check sum {} (FNV-1a, 64 "
                                 "bits, of the job with the parts that it uses: it "
                                 "tells apart sheets of different inputs and is no measure of security). The "
                                 "same input gives the same sheet.",
                                 program_version(), input_sum(study))});
  return section;
}

}  // namespace latchwright::report
