// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "base/text.h"
#include "report/check_report.h"
#include "report/map_report.h"
#include "report/picture_tools.h"
#include "report/spread_pictures.h"

// Cycles to lockout over ambient and rest or pulse, drawn.
namespace latchwright::report {

using spread::LockoutMap;

namespace {

bool is_over_gap(const LockoutMap& map) { return map.plan.over == spread::MapAxis::gap; }

std::string map_condition(const LockoutMap& map) {
  return fmt::format("{} V, {} {} s, thermistors have tripped before", base::exact_text(map.plan.voltage_V),
                     is_over_gap(map) ? "pulse" : "rest",
                     base::exact_text(is_over_gap(map) ? map.plan.on_s : map.plan.gap_s));
}

Axis time_axis(const LockoutMap& map) {
  Axis axis;
  axis.title = is_over_gap(map) ? "rest" : "pulse";
  axis.unit = "s";
  return axis;
}

std::string count_remark(const model::Study& study) {
  return study.doors.size() > 1 ? "the worse of all doors together and each door alone, as the check counts"
                                : "as the check counts";
}

/// Ends of the counted rests or pulses that all give so many cycles at an ambient; nothing where none does.
/// Rests: from the first of those at the long end; pulses: from the first to the last.
struct Run {
  double low_s = std::numeric_limits<double>::quiet_NaN();
  double high_s = std::numeric_limits<double>::quiet_NaN();
};

Run counted_run(const LockoutMap& map, std::size_t ambient, int cycles) {
  const auto& row = map.cycles_done[ambient];
  std::size_t last = row.size();
  while (last > 0 && row[last - 1] < cycles) --last;
  if (last == 0 || (is_over_gap(map) && last < row.size())) return {};
  std::size_t first = last - 1;
  while (first > 0 && row[first - 1] >= cycles) --first;
  return {map.values_s[first], map.values_s[last - 1]};
}

/// Where so many cycles begin or end, as counted, at the ambients that have such an edge within the map.
PictureLine level_line(const LockoutMap& map, int cycles, Stroke stroke) {
  PictureLine line = picture_line(fmt::format("{} cycles, as counted", cycles), 2, stroke);
  for (std::size_t k = 0; k < map.ambient_C.size(); ++k) {
    const Run run = counted_run(map, k, cycles);
    const double edge = is_over_gap(map) ? run.low_s : run.high_s;
    const bool inside = is_over_gap(map) ? edge > map.values_s.front() : edge < map.values_s.back();
    // A gap where there is none: a line through it would say what nobody counted.
    add_point(line, map.ambient_C[k], inside ? edge : std::numeric_limits<double>::quiet_NaN());
  }
  return line;
}

/// What gives the wanted cycles, a band for each run of ambients at which something does: it ends at the last
/// of them, because how much of the room up to the next one is safe was not counted.
std::vector<PictureBand> safe_bands(const LockoutMap& map) {
  std::vector<PictureBand> bands;
  bool open = false;
  for (std::size_t k = 0; k < map.ambient_C.size(); ++k) {
    const SafeAt safe = safe_at(map, k);
    if (safe.kind == SafeAt::Kind::never) {
      open = false;
      continue;
    }
    const Run run = counted_run(map, k, map.plan.cycles);
    double low = is_over_gap(map) ? safe.value_s : run.low_s;
    const double high = is_over_gap(map) ? map.plan.to_s : safe.value_s;
    if (!std::isfinite(low)) low = high;  // a narrow run of pulses between two that were counted
    if (!std::exchange(open, true)) {
      bands.emplace_back();
      bands.back().name = fmt::format("gives {} cycles", map.plan.cycles);
      bands.back().hue = 0;
    }
    PictureBand& band = bands.back();
    band.lower_x.push_back(map.ambient_C[k]);
    band.lower_y.push_back(low);
    band.upper_x.push_back(map.ambient_C[k]);
    band.upper_y.push_back(high);
  }
  return bands;
}

Picture boundary_picture(const model::Study& study, const LockoutMap& map) {
  Picture picture;
  picture.key = "map_boundary";
  picture.title = is_over_gap(map) ? fmt::format("Rest that {} cycles in a row need", map.plan.cycles)
                                   : fmt::format("Pulse with which {} cycles in a row work", map.plan.cycles);
  picture.condition = map_condition(map);
  picture.across.title = "ambient";
  picture.across.unit = "°C";
  picture.across.low = map.ambient_C.front();
  picture.across.high = map.ambient_C.back();
  picture.up = time_axis(map);
  picture.up.logarithmic = !is_over_gap(map);
  picture.up.low = map.plan.from_s;
  picture.up.high = map.plan.to_s;
  picture.bands = safe_bands(map);
  PictureLine edge = picture_line(is_over_gap(map) ? "shortest rest" : "longest pulse", 0);
  for (std::size_t k = 0; k < map.ambient_C.size(); ++k) {
    const SafeAt safe = safe_at(map, k);
    const bool is_edge = safe.kind == SafeAt::Kind::edge;
    add_point(edge, map.ambient_C[k], is_edge ? safe.value_s : std::numeric_limits<double>::quiet_NaN());
  }
  if (!map.boundary.empty()) picture.lines.push_back(std::move(edge));
  const std::pair<int, Stroke> levels[] = {{(map.plan.cycles + 1) / 2, Stroke::dotted},
                                           {2 * map.plan.cycles, Stroke::dash_dot}};
  for (const auto& [cycles, stroke] : levels) {
    if (cycles == map.plan.cycles) continue;
    PictureLine line = level_line(map, cycles, stroke);
    const bool drawn = std::any_of(line.y.begin(), line.y.end(), [](double y) { return std::isfinite(y); });
    if (drawn) picture.lines.push_back(std::move(line));
  }
  const double own = is_over_gap(map) ? map.plan.gap_s : map.plan.on_s;
  picture.limits.push_back(
      picture_limit(is_over_gap(map) ? "the job's rest" : "the job's pulse", own, false, 1, Stroke::dashed));
  picture.limits.push_back(picture_limit("hot", study.job.climate.hot_C, true, 4, Stroke::dotted));
  std::vector<std::string> remarks{fmt::format("{} to 0.01 s at every ambient counted; {}",
                                               is_over_gap(map) ? "shortest rest" : "longest pulse",
                                               count_remark(study))};
  picture.note = picture_note(remarks, uses_invented_parts(study));
  return picture;
}

/// Few ambients, the job's own among them.
std::vector<std::size_t> shown_ambients(const model::Study& study, const LockoutMap& map) {
  const auto& climate = study.job.climate;
  const double wanted[] = {map.ambient_C.front(), climate.usual_C, climate.hot_C,
                           (climate.hot_C + map.ambient_C.back()) / 2, map.ambient_C.back()};
  std::vector<std::size_t> shown;
  for (const double T : wanted) {
    const auto nearest =
        std::min_element(map.ambient_C.begin(), map.ambient_C.end(),
                         [&](double a, double b) { return std::abs(a - T) < std::abs(b - T); });
    shown.push_back(static_cast<std::size_t>(nearest - map.ambient_C.begin()));
  }
  std::sort(shown.begin(), shown.end());
  shown.erase(std::unique(shown.begin(), shown.end()), shown.end());
  return shown;
}

Picture counts_picture(const model::Study& study, const LockoutMap& map) {
  Picture picture;
  picture.key = "map_counts";
  picture.title = "Cycles in a row before a throw is missed";
  picture.condition = map_condition(map);
  picture.across = time_axis(map);
  picture.across.logarithmic = !is_over_gap(map);
  picture.across.low = map.values_s.front();
  picture.across.high = map.values_s.back();
  picture.up.title = "whole cycles";
  picture.up.low = 0;
  picture.up.high = map.most + std::max(1.0, 0.1 * map.most);
  const Shape shapes[] = {Shape::circle, Shape::square, Shape::triangle, Shape::diamond, Shape::cross};
  std::size_t hue = 0;
  for (const std::size_t k : shown_ambients(study, map)) {
    PictureLine line = picture_line(base::exact_text(map.ambient_C[k]) + " °C", hue, door_stroke(hue));
    PictureMarks marks;
    marks.name = line.name;
    marks.hue = hue;
    marks.shape = shapes[hue % std::size(shapes)];
    for (std::size_t j = 0; j < map.values_s.size(); ++j) {
      add_point(line, map.values_s[j], map.cycles_done[k][j]);
      // Marks that would hide each other tell nothing: those of a straight piece are left out.
      const bool inner = j > 0 && j + 1 < map.values_s.size() &&
                         map.cycles_done[k][j - 1] == map.cycles_done[k][j] &&
                         map.cycles_done[k][j + 1] == map.cycles_done[k][j];
      if (!inner) add_mark(marks, map.values_s[j], map.cycles_done[k][j]);
    }
    picture.lines.push_back(std::move(line));
    picture.marks.push_back(std::move(marks));
    ++hue;
  }
  picture.limits.push_back(picture_limit(fmt::format("wanted: {} cycles", map.plan.cycles), map.plan.cycles,
                                         false, hue, Stroke::dashed));
  const double own = is_over_gap(map) ? map.plan.gap_s : map.plan.on_s;
  picture.limits.push_back(
      picture_limit(is_over_gap(map) ? "the job's rest" : "the job's pulse", own, true, 4, Stroke::dotted));
  std::vector<std::string> remarks{"counted at the marks: " + count_remark(study)};
  remarks.push_back(fmt::format("{} means {} or more", map.most, map.most));
  picture.note = picture_note(remarks, uses_invented_parts(study));
  return picture;
}

}  // namespace

std::vector<Picture> map_pictures(const model::Study& study, const LockoutMap& map) {
  return {boundary_picture(study, map), counts_picture(study, map)};
}

}  // namespace latchwright::report
