// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/curves_report.h"

#include <fmt/format.h>

#include <cmath>
#include <iterator>

#include "base/text.h"
#include "report/check_report.h"
#include "report/trace_csv.h"

namespace latchwright::report {

using base::significant;
using model::Raw;
using verdict::Series;

namespace {

using Align = TextTable::Align;

Raw::List numbers(const std::vector<double>& values) { return Raw::List(values.begin(), values.end()); }

std::string amps(double current_A) { return significant(current_A) + " A"; }
std::string degrees(double T_C) { return base::exact_text(T_C) + " °C"; }

/// "4.2 s", or what it means that the line does not reach this current: never_text to its left; to its right
/// less than the window shows, or a current that was not looked at.
std::string time_text(const Series& series, double current_A, const char* never_text) {
  const double time = verdict::time_at(series, current_A);
  if (std::isinf(time)) return never_text;
  if (time > 0) return base::wait_text(time);
  if (series.time_s.empty()) return never_text;
  return series.time_s.back() <= verdict::window_from_s ? "under 0.01 s" : "–";
}

const char* const not_in_the_hour = "not in 1 h";
const char* const need_not = "need not";

/// As a heading: the first letter large, safe to print.
std::string heading(const std::string& name) {
  std::string text = base::printable(name, 1000);
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
  return text;
}

std::string marks_text(const verdict::TimeCurrent& picture) {
  TextTable table({{"current"}, {"", Align::right}});
  std::string out = "Currents (short circuits with hot wires)\n";
  for (const auto& mark : picture.marks) table.add({base::printable(mark.name, 200), amps(mark.current_A)});
  const std::string lines = table.text(2);
  // Nothing stands above the figures that they do not say themselves.
  return out + lines.substr(lines.find('\n') + 1);
}

std::string protection_text(const verdict::TimeCurrent& picture, const verdict::Protection& pair) {
  const auto& band = picture.fuses[pair.fuse];
  const auto& wire = picture.wires[pair.wire];
  const std::string fuse = base::exact_text(band.rating_A) + " A";
  std::string out =
      wrapped(fmt::format("{}: {:g} mm², limit {}, {}", heading(pair.place), wire.area * 1e6,
                          degrees(wire.limit_C), band.main ? "main fuse " + fuse : "own fuse " + fuse),
              0);
  std::vector<TextTable::Column> columns{{"current", Align::right},
                                         {"which is"},
                                         {"quickest fuse opens", Align::right},
                                         {"slowest fuse opens", Align::right}};
  for (const auto& line : wire.lines) columns.push_back({"wire from " + degrees(line.start_C), Align::right});
  TextTable table(std::move(columns));
  for (const auto& mark : pair.marks) {
    std::vector<std::string> cells{amps(mark.current_A), base::printable(mark.name, 200),
                                   time_text(band.quickest, mark.current_A, not_in_the_hour),
                                   time_text(band.slowest, mark.current_A, need_not)};
    for (const auto& line : wire.lines) {
      // A wire that starts at its limit has no line: it bears nothing.
      cells.push_back(line.series.time_s.empty() ? "no time"
                                                 : time_text(line.series, mark.current_A, not_in_the_hour));
    }
    table.add(std::move(cells));
  }
  return out + table.text(2) + '\n';
}

std::string trip_text(const verdict::TripLimit& trip) {
  std::string out =
      wrapped(fmt::format("{}: {}{}", heading(trip.name), base::printable(trip.actuator, 200),
                          trip.shared ? " (as in " + base::printable(trip.first_door) + ")" : ""),
              0);
  std::vector<TextTable::Column> columns{{"current at once", Align::right}, {"which is"}};
  for (const auto& line : trip.lines) columns.push_back({"trips at " + degrees(line.start_C), Align::right});
  TextTable table(std::move(columns));
  const struct {
    double share;
    const char* name;
  } rows[] = {{0.5, "half the stall current"},
              {0.75, "three quarters of it"},
              {1, "the stall current, alone"},
              {1.5, "one and a half times it"}};
  for (const auto& row : rows) {
    std::vector<std::string> cells{amps(row.share * trip.stall_A), row.name};
    for (const auto& line : trip.lines) {
      cells.push_back(line.series.time_s.empty()
                          ? "never"
                          : time_text(line.series, row.share * trip.stall_A, not_in_the_hour));
    }
    table.add(std::move(cells));
  }
  return out + table.text(2);
}

std::string unguarded_text(const verdict::TimeCurrent& picture) {
  if (picture.unguarded.empty()) {
    return "Every wire is protected by the fuse before it, up to a bolted short at the wire's end.\n";
  }
  std::string out = "Not protected\n";
  for (const auto& gap : picture.unguarded) {
    const std::string where = gap.to_A > gap.from_A
                                  ? fmt::format("between {} and {}", significant(gap.from_A), amps(gap.to_A))
                                  : "at " + amps(gap.to_A);
    out += wrapped(fmt::format("The {} does not protect the {}, {}.", base::printable(gap.fuse),
                               base::printable(gap.wire, 100), where),
                   2);
  }
  return out;
}

}  // namespace

Raw curves_json(const verdict::TimeCurrent& picture) {
  Raw::Object result =
      result_head("curves", std::nullopt,
                  {{"ambient_C", Raw(picture.usual.ambient_C)}, {"voltage_V", Raw(picture.usual.voltage_V)}});
  Raw::List series;
  for (const Series* line : picture.all_series()) {
    series.emplace_back(Raw::Object{{"name", Raw(line->name)},
                                    {"current_A", Raw(numbers(line->current_A))},
                                    {"time_s", Raw(numbers(line->time_s))}});
  }
  result.emplace_back("series", Raw(std::move(series)));
  Raw::List marks;
  for (const auto& mark : picture.marks) {
    marks.emplace_back(Raw::Object{{"name", Raw(mark.name)}, {"current_A", figure(mark.current_A)}});
  }
  result.emplace_back("marks", Raw(std::move(marks)));
  Raw::List unguarded;
  for (const auto& gap : picture.unguarded) {
    unguarded.emplace_back(
        Raw::Object{{"wire", Raw(gap.wire)}, {"from_A", figure(gap.from_A)}, {"to_A", figure(gap.to_A)}});
  }
  result.emplace_back("unguarded", Raw(std::move(unguarded)));
  return Raw(std::move(result));
}

std::string curves_text(const model::Study& study, const verdict::TimeCurrent& picture, const Style&) {
  std::string out = fmt::format("{}: what opens or trips after how long, 0.01 s to 1 h {}\n\n",
                                study.job.title.empty() ? "Job" : base::printable(study.job.title, 200),
                                condition_text(picture.usual.voltage_V, picture.usual.ambient_C));
  out += marks_text(picture) + '\n';
  out += wrapped(
      fmt::format("Fuses and wires: after how long the quickest and the slowest fuse that the standard "
                  "allows open at {}, and after how long the wire's copper is at its short-time limit, "
                  "from the usual and from the hot temperature. A fuse protects the wire where even the "
                  "slowest opens before a hot wire is at its limit; up to 1.1 times "
                  "its rating counts as use, not as a fault.",
                  degrees(picture.usual.ambient_C)),
      0);
  out += '\n';
  for (const auto& pair : picture.protections) out += protection_text(picture, pair);
  out += unguarded_text(picture) + '\n';
  out += wrapped(
      "Thermistors: after how long each one has halved the current of its stalled motor, with only its own "
      "door connected.",
      0);
  for (const auto& trip : picture.trips) out += '\n' + trip_text(trip);
  out += cautions_text();
  if (uses_invented_parts(study)) out += "\nExample parts: measure yours before promising this.\n";
  return out;
}

std::string curves_csv(const verdict::TimeCurrent& picture) {
  std::string out = "series,current_A,time_s\n";
  for (const Series* line : picture.all_series()) {
    const std::string name = csv_field(line->name);
    for (std::size_t k = 0; k < line->time_s.size(); ++k) {
      fmt::format_to(std::back_inserter(out), "{},{},{}\n", name, base::exact_text(line->current_A[k]),
                     base::exact_text(line->time_s[k]));
    }
  }
  return out;
}

}  // namespace latchwright::report
