// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "report/spread_report.h"

namespace latchwright::report {

using base::significant;
using spread::SpreadResult;

namespace {

using Align = TextTable::Align;

/// A quantile for people: whole cycles, three digits of everything else; where counting ended there may be
/// more.
std::string value_text(const SpreadResult& result, const spread::Distribution& figure, double value) {
  if (figure.unit != "cycles") return significant(value) + " " + figure.unit;
  const bool end = value >= spread::counted_cycles(result.plan);
  return base::exact_text(value) + (end ? " or more" : "");
}

std::string distributions_text(const SpreadResult& result) {
  TextTable table({{"figure"},
                   {"5 % of cars up to", Align::right},
                   {"half up to", Align::right},
                   {"95 % up to", Align::right}});
  std::string notes;
  for (const auto& figure : result.distributions) {
    if (figure.without > 0) {
      notes += wrapped(fmt::format("In {} % {}.", percent_text(figure.without, 2), figure.without_text), 2);
    }
    if (figure.quantiles.empty()) continue;
    std::vector<std::string> row{figure.title};
    for (const auto& [share, value] : figure.quantiles) row.push_back(value_text(result, figure, value));
    table.add(std::move(row));
  }
  return table.empty() ? notes : "\nWhat such cars do\n" + table.text(2) + notes;
}

/// At 1, half, once, twice, … the wanted cycles.
std::string by_cycles_text(const SpreadResult& result) {
  const int wanted = result.plan.cycles;
  std::vector<int> shown{1, wanted / 2, wanted, 2 * wanted, 3 * wanted, spread::counted_cycles(result.plan)};
  std::sort(shown.begin(), shown.end());
  shown.erase(std::unique(shown.begin(), shown.end()), shown.end());
  TextTable table({{"before", Align::right}, {"chance"}});
  for (const int n : shown) {
    if (n < 1) continue;
    table.add({fmt::format("{} {}{}", n, n == 1 ? "cycle" : "cycles", n == wanted ? " (wanted)" : ""),
               chance_text(result.lockout_by_cycles.at(static_cast<std::size_t>(n) - 1))});
  }
  return "\nChance of stopping until it cools\n" + table.text(2);
}

std::string share_text(double share, double error) {
  return fmt::format("{:.0f} ± {:.0f} %", 100 * share, 100 * error);
}

std::string influences_text(const SpreadResult& result) {
  if (result.influences.empty()) return "";
  constexpr std::size_t most = 8;
  TextTable table({{"source"},
                   {"by itself", Align::right},
                   {"with others", Align::right},
                   {"stop at half its width", Align::right}});
  for (std::size_t k = 0; k < std::min(most, result.influences.size()); ++k) {
    const auto& each = result.influences[k];
    const auto is = [&](const spread::Tightening& one) { return one.key == each.key; };
    const auto halved = std::find_if(result.tightenings.begin(), result.tightenings.end(), is);
    table.add({each.name, share_text(each.first, each.first_error), share_text(each.total, each.total_error),
               halved == result.tightenings.end() ? std::string("as it is")
                                                  : percent_text(halved->halved.estimate, 2) + " %"});
  }
  const std::size_t left = result.influences.size() - std::min(most, result.influences.size());
  std::string out =
      fmt::format("\nWhat matters for {}: share of its scatter\n{}", result.influence_of, table.text(2));
  if (left > 0) out += fmt::format("  {} more sources matter less.\n", left);
  return out + wrapped(fmt::format("Tried on {} of the cars, of which {} % stop as it is. ± is one standard "
                                   "error; shares near 0 may come out below it.",
                                   result.as_it_is.of, percent_text(result.as_it_is.estimate, 2)),
                       2);
}

/// Sources that differ only in the part that they are of stand in one line.
std::string sources_text(const SpreadResult& result) {
  struct Line {
    std::string words, part, width, origin;  ///< part: of the only one
    int parts = 1;
  };
  std::vector<Line> lines;
  for (const auto& source : result.sources) {
    const std::size_t cut = source.name.rfind(" of ");
    // "internal resistance of the battery" is of no part.
    const bool of_part = cut != std::string::npos && source.key.find('/') != std::string::npos;
    Line line{of_part ? source.name.substr(0, cut) : source.name, of_part ? source.name.substr(cut) : "",
              fmt::format("± {:.4g} {}", source.half_width, source.unit), source.origin, 1};
    const auto same = std::find_if(lines.begin(), lines.end(), [&](const Line& other) {
      return other.words == line.words && other.width == line.width && other.origin == line.origin;
    });
    if (same == lines.end()) {
      lines.push_back(std::move(line));
    } else {
      ++same->parts;
    }
  }
  TextTable table({{"source"}, {"half-width", Align::right}, {"from"}});
  for (const auto& line : lines) {
    table.add({line.words + (line.parts > 1 ? fmt::format(" ({} parts)", line.parts) : line.part), line.width,
               line.origin});
  }
  if (table.empty()) return "";
  return "\nWhere the chances come from: every value within a half-width is as likely as any other\n" +
         table.text(2);
}

}  // namespace

std::string spread_text(const SpreadReport& report, const Style&) {
  const SpreadResult& result = report.result;
  const auto& plan = result.plan;
  std::string out = fmt::format(
      "{}: chances {}\npulse {} s, rest {} s, {} {} wanted; {} cars drawn from the tolerances, seed {}\n\n",
      report.title.empty() ? "Job" : report.title, condition_text(plan.voltage_V, plan.ambient_C),
      base::exact_text(plan.on_s), base::exact_text(plan.gap_s), plan.cycles,
      plan.cycles == 1 ? "cycle" : "cycles", result.done, plan.seed);
  for (const auto& sentence : spread_sentences(result)) out += wrapped(sentence, 0);
  if (result.done > 0) out += by_cycles_text(result) + distributions_text(result);
  out += influences_text(result) + sources_text(result);
  out +=
      '\n' + wrapped(fmt::format("Ranges in brackets hold the chance with {:.0f} % confidence, for cars that "
                                 "scatter as stated: a wrong half-width is not in them. Thermistors have "
                                 "tripped before, except for trip, winding and first throw.",
                                 100 * result.lockout.level),
                     0);
  if (report.invented_parts) out += "\nExample parts: measure yours before promising this.\n";
  return out;
}

}  // namespace latchwright::report
