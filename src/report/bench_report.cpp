// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/bench_report.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>

#include "base/text.h"
#include "report/picture_tools.h"

namespace latchwright::report {

using base::significant;
using base::wait_text;
using model::Raw;

namespace {

constexpr const char* first_word = "sound ones, tolerances included";

std::string minutes_text(double minutes) { return minutes == 0 ? "at once" : wait_text(minutes * 60); }

std::string range_of(const bench::Expected& reading) {
  if (!reading.value) return "–";
  return reading_text(reading.low, reading) + " to " + reading_text(reading.high, reading);
}

std::string ohms(double value) { return significant(value) + " Ω"; }

Picture cooling_picture(const BenchReport& report, const std::vector<std::string>& remarks) {
  const bench::Sheet& sheet = report.sheet;
  Picture picture;
  picture.key = "bench_cooling";
  picture.title = "Resistance across the leads while it cools after a trip";
  picture.condition = fmt::format("{}; held at {} V for {}, then power off", report.title,
                                  base::exact_text(sheet.supply_V), wait_text(sheet.held_s)) +
                      fmt::format(", air {} °C", base::exact_text(sheet.ambient_C));
  picture.across.title = "after power off";
  picture.across.unit = "min";
  picture.across.low = 0;
  picture.up.title = "across the leads";
  picture.up.unit = "Ω";
  picture.up.logarithmic = true;
  PictureLine line = picture_line("as stated", 0);
  PictureBand band;
  band.name = first_word;
  for (const auto& point : sheet.cooling) {
    add_point(line, point.minutes, point.resistance_ohm);
    band.lower_x.push_back(point.minutes);
    band.lower_y.push_back(point.low_ohm);
    band.upper_x.push_back(point.minutes);
    band.upper_y.push_back(point.high_ohm);
  }
  picture.bands.push_back(std::move(band));
  picture.lines.push_back(std::move(line));
  const bench::Expected& cold = sheet.readings.front();
  picture.limits.push_back({.name = "cold", .value = cold.value.value_or(0), .hue = 1});
  picture.note = picture_note(remarks, report.invented);
  return picture;
}

Picture held_picture(const BenchReport& report, const std::vector<std::string>& remarks) {
  const bench::Sheet& sheet = report.sheet;
  Picture picture;
  picture.key = "bench_held";
  picture.title = "Current while the rod is held";
  picture.condition = fmt::format("{}; {} V at its leads, air {} °C", report.title,
                                  base::exact_text(sheet.supply_V), base::exact_text(sheet.ambient_C));
  picture.across.title = "after power on";
  picture.across.unit = "s";
  picture.across.logarithmic = true;
  picture.across.high = sheet.held.back().s;
  picture.up.title = "current";
  picture.up.unit = "A";
  picture.up.low = 0;
  PictureLine line = picture_line("as stated", 0);
  PictureBand band;
  band.name = first_word;
  for (const auto& point : sheet.held) {
    add_point(line, point.s, point.current_A);
    band.lower_x.push_back(point.s);
    band.lower_y.push_back(point.low_A);
    band.upper_x.push_back(point.s);
    band.upper_y.push_back(point.high_A);
  }
  picture.bands.push_back(std::move(band));
  picture.lines.push_back(std::move(line));
  picture.note = picture_note(remarks, report.invented);
  return picture;
}

const bench::Expected* reading_named(const bench::Sheet& sheet, std::string_view name) {
  for (const auto& reading : sheet.readings) {
    if (reading.name == name) return &reading;
  }
  return nullptr;
}

/// What to know before it is held, and why there is nothing to be seen of a trip.
std::vector<std::string> sheet_remarks(const bench::Sheet& sheet) {
  std::vector<std::string> remarks = sheet.warnings;
  const bench::Expected* trip = reading_named(sheet, "time to trip");
  if (trip != nullptr && !trip->value) remarks.push_back(trip->remark);
  return remarks;
}

}  // namespace

std::string reading_text(double value, const bench::Expected& reading) {
  if (std::isinf(value)) return "never";
  if (reading.unit == "ohm") return ohms(value);
  // Waits are for a watch; a throw and a trip are measured closer.
  const bool is_wait = reading.unit == "s" && reading.name.ends_with("after");
  if (is_wait) return value == 0 ? "at once" : wait_text(value);
  return significant(value) + " " + reading.unit;
}

const std::vector<std::string>& bench_cautions() {
  static const std::vector<std::string> lines{
      "On the bench: feed it through a fuse, hold the rod in a vice and never by hand, and hold it no longer "
      "than the reading needs. If it has not tripped by the longest time to trip or the time to switch off "
      "given here, switch off.",
      "After a held test motor, thermistor and housing stay hot for minutes."};
  return lines;
}

Raw bench_json(const BenchReport& report) {
  const bench::Sheet& sheet = report.sheet;
  Raw::Object result =
      result_head("bench", verdict::At{sheet.supply_V, sheet.ambient_C}, {{"part", Raw(report.part)}});
  Raw::List readings;
  for (const auto& reading : sheet.readings) {
    const bool known = reading.value.has_value();
    readings.emplace_back(Raw::Object{{"name", Raw(reading.name)},
                                      {"value", figure(reading.value)},
                                      {"low", known ? figure(reading.low) : Raw()},
                                      {"high", known ? figure(reading.high) : Raw()},
                                      {"unit", Raw(reading.unit)}});
  }
  result.emplace_back("readings", Raw(std::move(readings)));
  result.emplace_back("off_by_s", figure(sheet.off_by_s));
  Raw::List warnings;
  for (const auto& warning : sheet.warnings) warnings.emplace_back(warning);
  result.emplace_back("warnings", Raw(std::move(warnings)));
  Raw::List cooling;
  for (const auto& point : sheet.cooling) {
    cooling.emplace_back(
        Raw::Object{{"minutes", figure(point.minutes)}, {"resistance_ohm", figure(point.resistance_ohm)}});
  }
  result.emplace_back("cooling", Raw(std::move(cooling)));
  return Raw(std::move(result));
}

std::vector<bench::CoolingPoint> cooling_rows(const bench::Sheet& sheet) {
  // Figures that a watch shows, and the end.
  constexpr double shown_s[] = {0,   2,   5,   10,   20,   30,   60,   120,  180,
                                300, 600, 900, 1200, 1800, 2700, 3600, 5400, 7200};
  std::vector<bench::CoolingPoint> rows;
  for (const auto& point : sheet.cooling) {
    const auto is_point = [&](double s) { return std::fabs(point.minutes * 60 - s) < 0.1; };
    const bool last = &point == &sheet.cooling.back();
    const bool shown = std::any_of(std::begin(shown_s), std::end(shown_s), is_point);
    // The end, unless it reads like the row above.
    const bool news = rows.empty() || minutes_text(rows.back().minutes) != minutes_text(point.minutes);
    if (shown || (last && news)) rows.push_back(point);
  }
  return rows;
}

std::string bench_text(const BenchReport& report, const Style&) {
  const bench::Sheet& sheet = report.sheet;
  std::string out = fmt::format("{}: {}\nWhat a sound one reads at {} V at its leads, air {} °C\n\n",
                                report.part, base::printable(report.title, 200),
                                base::exact_text(sheet.supply_V), base::exact_text(sheet.ambient_C));
  for (const auto& warning : sheet.warnings) out += wrapped(warning, 0);
  if (!sheet.warnings.empty()) out += "\n";
  using Align = TextTable::Align;
  TextTable table({{"reading"}, {"as stated", Align::right}, {first_word, Align::right}});
  for (const auto& reading : sheet.readings) {
    table.add({reading.name, reading.value ? reading_text(*reading.value, reading) : "–", range_of(reading)});
  }
  out += table.text(2);
  out += "\nHow each is read\n";
  for (const auto& reading : sheet.readings) out += wrapped(reading.name + ": " + reading.remark, 2);
  out +=
      wrapped(fmt::format("Tolerances: {}; each by itself to its ends, what they do added in quadrature. The "
                          "meter's own error comes on top.",
                          fmt::join(sheet.scatter, "; ")),
              2);
  if (!sheet.cooling.empty()) {
    out += fmt::format("\nResistance across the leads while it cools (held for {}, then power off)\n",
                       wait_text(sheet.held_s));
    TextTable cooling({{"after", Align::right}, {"as stated", Align::right}, {first_word, Align::right}});
    for (const auto& point : cooling_rows(sheet)) {
      cooling.add({minutes_text(point.minutes), ohms(point.resistance_ohm),
                   ohms(point.low_ohm) + " to " + ohms(point.high_ohm)});
    }
    out += cooling.text(2);
  }
  if (report.invented) out += "\nExample part: measure yours before promising this.\n";
  out += cautions_text();
  for (const auto& line : bench_cautions()) out += wrapped(line, 2);
  return out;
}

std::string bench_csv(const BenchReport& report) {
  std::string out = "minutes,resistance_ohm,low_ohm,high_ohm\n";
  for (const auto& point : report.sheet.cooling) {
    fmt::format_to(std::back_inserter(out), "{:.9g},{:.9g},{:.9g},{:.9g}\n", point.minutes,
                   point.resistance_ohm, point.low_ohm, point.high_ohm);
  }
  return out;
}

std::vector<Picture> bench_pictures(const BenchReport& report) {
  std::vector<Picture> pictures;
  const auto remarks = sheet_remarks(report.sheet);
  if (!report.sheet.cooling.empty()) pictures.push_back(cooling_picture(report, remarks));
  pictures.push_back(held_picture(report, remarks));
  return pictures;
}

}  // namespace latchwright::report
