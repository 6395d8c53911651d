// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "report/check_report.h"
#include "report/check_words.h"

namespace latchwright::report {

using base::significant;
using verdict::CheckRow;
using verdict::Verdict;

namespace {

std::string explained(const model::Study& study, const CheckRow& row, const Style& style) {
  std::string out = fmt::format("  {}, {} {}: {}: {}\n", title_of(row.id), where_of(study, row), at_text(row),
                                have_and_need(row), shown(row.verdict, style));
  out += wrapped(row.why + ".", 4);
  if (row.change) {
    out += wrapped("Cure: " + row.change->text + ".", 4);
    if (!row.cures.empty() && !row.cures.front().breaks.empty()) {
      std::vector<std::string> broken;
      for (const auto id : row.cures.front().breaks) broken.push_back(title_of(id));
      out += wrapped(fmt::format("But then another check fails: {}.", fmt::join(broken, "; ")), 4);
    }
  } else if (row.verdict == Verdict::fails) {
    out += wrapped(
        "No single change of pulse, rest, wire, length, fuse, relay or actuator within the catalogue cures this.",
        4);
  }
  return out;
}

std::string table_text(const model::Study& study, const verdict::Rows& rows, const Style& style) {
  using Align = TextTable::Align;
  TextTable table({{"check"},
                   {"where"},
                   {"condition"},
                   {"have", Align::right},
                   {"need", Align::right},
                   {"margin", Align::right},
                   {"verdict"}});
  for (const CheckRow& row : rows) {
    table.add({title_of(row.id), where_of(study, row), at_text(row), figure_text(row, false),
               figure_text(row, true), margin_text(row.margin), shown(row.verdict, style)});
  }
  return table.text(2);
}

std::string prove_text(const verdict::Examination& examination) {
  std::string out = "\nProve it: what clamp and watch should show here\n";
  for (const auto& reading : examination.prove) {
    if (reading.unit.empty()) {
      out += wrapped(reading.reading + ".", 2);
      continue;
    }
    const std::string value =
        !reading.value ? "never (the thermistor does not trip)"
                       : fmt::format("{} {} ({} to {})", significant(*reading.value), reading.unit,
                                     significant(reading.low.value_or(0)),
                                     reading.high ? significant(*reading.high) : "never");
    out += wrapped(reading.reading + ": " + value, 2);
  }
  return out;
}

}  // namespace

std::string check_text(const model::Study& study, const verdict::Examination& examination, bool every_row,
                       const Style& style) {
  const model::Job& job = study.job;
  std::string out = fmt::format("{}\n", job.title.empty() ? "Job" : base::printable(job.title, 200));
  out += fmt::format("{} {}, pulse {} s, rest {} s; wanted in a row: {} cycles, {} when hot (a cycle is lock plus "
                     "unlock)\n\n",
                     job.doors.size(), job.doors.size() == 1 ? "door" : "doors", base::exact_text(job.pulse.on_s),
                     base::exact_text(job.use.gap_s), job.use.cycles, job.use.hot_cycles);
  const auto& rows = examination.worst;
  const auto count = [&](Verdict v) {
    return std::count_if(rows.begin(), rows.end(), [v](const CheckRow& row) { return row.verdict == v; });
  };
  out += "Weakest link\n" + explained(study, rows[examination.weakest], style);
  for (const Verdict level : {Verdict::fails, Verdict::tight}) {
    const auto others = count(level) - (rows[examination.weakest].verdict == level ? 1 : 0);
    if (others <= 0) continue;
    out += fmt::format("\n{}\n", level == Verdict::fails ? "Also fails" : "Tight");
    verdict::Rows sorted;
    for (std::size_t k = 0; k < rows.size(); ++k) {
      if (rows[k].verdict == level && k != examination.weakest) sorted.push_back(rows[k]);
    }
    std::stable_sort(sorted.begin(), sorted.end(), verdict::worse);
    for (const CheckRow& row : sorted) out += explained(study, row, style);
  }
  out += cures_text(study, rows);
  out += every_row ? "\nEvery check at every condition\n" : "\nEach check where it is weakest\n";
  out += table_text(study, every_row ? examination.all : one_a_check(rows), style);
  out += prove_text(examination);
  out += cautions_text();
  if (uses_invented_parts(study)) out += "\nExample parts: measure yours before promising this.\n";
  out += fmt::format("\n{}: {} of {} checks hold, {} tight, {} fail.\n", examination.pass ? "Passes" : "Fails",
                     count(Verdict::holds), rows.size(), count(Verdict::tight), count(Verdict::fails));
  return out;
}

}  // namespace latchwright::report
