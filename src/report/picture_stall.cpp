// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "report/picture_tools.h"
#include "report/pictures.h"
#include "verdict/nothing_left.h"

// Held at standstill with the power on.
namespace latchwright::report {

namespace {

using Own = std::vector<const sim::TraceSample*>;

constexpr double first_shown_s = 0.01;  // a logarithmic axis has no 0

Axis log_time(double limit_s) {
  Axis axis;
  axis.title = "time at standstill";
  axis.unit = "s";
  axis.logarithmic = true;
  axis.low = first_shown_s;
  axis.high = std::max(limit_s, 10 * first_shown_s);
  return axis;
}

std::string held_condition(const StallReport& report) {
  return picture_condition(report.at, report.after_trip) + ", every rod held";
}

/// Times at which a line has points: those of the samples, and before the first of them some on the straight
/// way from the study's start, which a logarithmic axis shows bent.
std::vector<double> shown_times(const Own& own) {
  std::vector<double> times;
  const auto first =
      std::find_if(own.begin(), own.end(), [](const auto* s) { return s->time_s >= first_shown_s; });
  if (first == own.end()) return times;
  constexpr double ratio = 1.25;
  for (double t = first_shown_s; t < (*first)->time_s; t *= ratio) times.push_back(t);
  for (auto sample = first; sample != own.end(); ++sample) times.push_back((*sample)->time_s);
  return times;
}

template <class Figure>
PictureLine line_over(const Own& own, const std::vector<double>& times, std::string name, std::size_t hue,
                      Stroke stroke, const Figure& figure) {
  PictureLine line = picture_line(std::move(name), hue, stroke);
  // Samples and times rise together: one walk through both.
  std::size_t next = 0;
  for (const double t : times) {
    while (next < own.size() && own[next]->time_s < t) ++next;
    if (next < own.size() && own[next]->time_s == t) {
      add_point(line, t, figure(*own[next]));
    } else {
      add_point(line, t, figure_at(own, t, figure));
    }
  }
  return line;
}

std::string trip_label(double trip_s) { return "trips after " + base::significant(trip_s) + " s"; }

PictureMarks trip_marks(std::size_t door) {
  PictureMarks marks;
  marks.name = "thermistor trips";
  marks.hue = door;
  marks.shape = Shape::diamond;
  return marks;
}

/// What the lines do not say.
std::vector<std::string> stall_remarks(const StallReport& report, const std::vector<std::size_t>& doors) {
  std::vector<std::string> remarks;
  std::vector<double> at_once;
  for (const auto& stall : report.stalls) at_once.push_back(stall.initial_current_A);
  if (verdict::nothing_left(at_once)) {
    remarks.push_back("no current: " + verdict::nothing_left_text(report.other_load_A));
  }
  for (const std::size_t k : doors) {
    const auto& stall = report.stalls[k];
    if (stall.limited_by == sim::LimitedBy::winding) {
      remarks.push_back(report.doors[k] +
                        ": the current halves because the copper heats, not because the thermistor trips: "
                        "that is no protection");
    }
    if (stall.beyond_table) {
      remarks.push_back(report.doors[k] +
                        ": the thermistor passes the end of its table; figures beyond it are a guess");
    }
  }
  return remarks;
}

double current_of(const sim::TraceSample& sample) { return sample.current_A; }

/// Half of the first current; less where the thermistor's share came after the half.
double current_at_trip(const sim::DoorStall& stall, const Own& own) {
  const double half = 0.5 * stall.initial_current_A;
  const auto next =
      std::find_if(own.begin(), own.end(), [&](const auto* s) { return s->time_s >= *stall.trip_time_s; });
  const bool already = next != own.end() && next != own.begin() && (*std::prev(next))->current_A < half;
  return already ? figure_at(own, *stall.trip_time_s, current_of) : half;
}

}  // namespace

Picture stall_temperatures(const StallReport& report, const std::vector<sim::TraceSample>& samples,
                           std::optional<std::size_t> only) {
  Picture picture;
  picture.key = "stall_temperatures";
  picture.title = "Temperatures while the rod is held";
  picture.condition = held_condition(report);
  picture.across = log_time(report.limit_s);
  picture.up.title = "temperature";
  picture.up.unit = "°C";
  const auto doors = doors_shown(report.doors.size(), only);
  const auto ptc_C = [](const sim::TraceSample& s) { return s.temperature_C[physics::ptc]; };
  for (const std::size_t k : doors) {
    const Own own = samples_of(samples, k);
    const auto times = shown_times(own);
    picture.lines.push_back(line_over(own, times, "winding, " + report.doors[k], k, Stroke::solid,
                                      [](const sim::TraceSample& s) { return s.winding_C; }));
    picture.lines.push_back(
        line_over(own, times, "thermistor, " + report.doors[k], k, Stroke::dashed, ptc_C));
    const auto& stall = report.stalls[k];
    if (!stall.trip_time_s || own.empty()) continue;
    PictureMarks marks = trip_marks(k);
    add_mark(marks, *stall.trip_time_s, figure_at(own, *stall.trip_time_s, ptc_C),
             trip_label(*stall.trip_time_s));
    picture.marks.push_back(std::move(marks));
  }
  picture.limits = door_limits("winding permitted in a fault", doors, report.doors, report.winding_fault_C);
  picture.note = picture_note(stall_remarks(report, doors), report.invented_parts);
  return picture;
}

Picture stall_current(const StallReport& report, const std::vector<sim::TraceSample>& samples,
                      std::optional<std::size_t> only) {
  Picture picture;
  picture.key = "stall_current";
  picture.title = "Current while the rod is held";
  picture.condition = held_condition(report);
  picture.across = log_time(report.limit_s);
  picture.up.title = "current";
  picture.up.unit = "A";
  picture.up.low = 0;
  const auto doors = doors_shown(report.doors.size(), only);
  PictureLine together = picture_line("all doors together", report.doors.size(), Stroke::dotted);
  for (const std::size_t k : doors) {
    const Own own = samples_of(samples, k);
    PictureLine line = line_over(own, shown_times(own), report.doors[k], k, door_stroke(k), current_of);
    if (together.x.empty()) {
      together.x = line.x;
      together.y.assign(line.x.size(), 0.0);
    }
    // Doors are sampled together.
    for (std::size_t n = 0; n < line.y.size() && n < together.y.size(); ++n) together.y[n] += line.y[n];
    picture.lines.push_back(std::move(line));
    const auto& stall = report.stalls[k];
    if (!stall.trip_time_s || own.empty()) continue;
    PictureMarks marks = trip_marks(k);
    add_mark(marks, *stall.trip_time_s, current_at_trip(stall, own), trip_label(*stall.trip_time_s));
    picture.marks.push_back(std::move(marks));
  }
  if (doors.size() > 1) picture.lines.push_back(std::move(together));
  picture.note = picture_note(stall_remarks(report, doors), report.invented_parts);
  return picture;
}

}  // namespace latchwright::report
