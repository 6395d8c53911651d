// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <atomic>

#include "base/failure.h"
#include "base/text.h"
#include "base/worker_pool.h"
#include "report/check_report.h"
#include "report/picture_tools.h"
#include "report/pictures.h"
#include "sim/lockout.h"

// How often the locks work in a row, over the heat of the day.
namespace latchwright::report {

namespace {

/// From the job's cold to 20 K above its hot, its own three among them.
std::vector<double> ambients_of(const model::Climate& climate) {
  constexpr int pieces = 7;  // from cold to hot
  std::vector<double> ambients;
  for (int n = 0; n <= pieces; ++n) {
    ambients.push_back(n == pieces ? climate.hot_C
                                   : climate.cold_C + (climate.hot_C - climate.cold_C) * n / pieces);
  }
  ambients.push_back(climate.usual_C);
  ambients.push_back(climate.hot_C + 10);
  ambients.push_back(climate.hot_C + 20);
  std::sort(ambients.begin(), ambients.end());
  ambients.erase(std::unique(ambients.begin(), ambients.end()), ambients.end());
  return ambients;
}

}  // namespace

Picture lockout_over_ambient(const model::Study& study, double voltage_V, double on_s,
                             const std::vector<double>& gaps_s, int most, unsigned workers,
                             base::Progress& progress) {
  const auto ambients = ambients_of(study.job.climate);
  std::vector<int> counts(gaps_s.size() * ambients.size());
  std::atomic<std::size_t> done{0};
  base::for_each_index(counts.size(), workers, [&](std::size_t n) {
    if (progress.cancelled()) throw base::Cancelled();
    const sim::Condition at{
        .voltage_V = voltage_V, .ambient_C = ambients[n % ambients.size()], .after_trip = true};
    const sim::CyclePlan plan{.cycles = most, .on_s = on_s, .gap_s = gaps_s[n / ambients.size()]};
    counts[n] = sim::count_worst(study, at, plan, progress).cycles_done;
    progress.report(static_cast<double>(++done) / static_cast<double>(counts.size()), "counting cycles");
  });

  Picture picture;
  picture.key = "lockout_over_ambient";
  picture.title = "Cycles in a row before a throw is missed";
  picture.condition = fmt::format("{} V, pulse {} s, thermistors have tripped before",
                                  base::exact_text(voltage_V), base::exact_text(on_s));
  picture.across.title = "ambient";
  picture.across.unit = "°C";
  picture.up.title = "whole cycles";
  picture.up.low = 0;
  picture.up.high = most + std::max(1.0, 0.1 * most);
  const Shape shapes[] = {Shape::circle, Shape::square, Shape::triangle, Shape::diamond};
  const Stroke strokes[] = {Stroke::solid, Stroke::dashed, Stroke::dash_dot, Stroke::dotted};
  for (std::size_t g = 0; g < gaps_s.size(); ++g) {
    PictureLine line = picture_line(fmt::format("rest {} s", base::exact_text(gaps_s[g])), g,
                                    strokes[g % std::size(strokes)]);
    for (std::size_t n = 0; n < ambients.size(); ++n) {
      add_point(line, ambients[n], counts[g * ambients.size() + n]);
    }
    // Only the marks are counted; the line leads the eye from one to the next.
    PictureMarks marks;
    marks.name = line.name;
    marks.hue = g;
    marks.shape = shapes[g % std::size(shapes)];
    marks.x = line.x;
    marks.y = line.y;
    picture.lines.push_back(std::move(line));
    picture.marks.push_back(std::move(marks));
  }
  const auto& use = study.job.use;
  const std::size_t hue = gaps_s.size();
  picture.limits.push_back(
      picture_limit(fmt::format("wanted: {} cycles", use.cycles), use.cycles, false, hue, Stroke::dashed));
  if (use.hot_cycles != use.cycles) {
    picture.limits.push_back(picture_limit(fmt::format("wanted when hot: {} cycles", use.hot_cycles),
                                           use.hot_cycles, false, hue, Stroke::dashed));
  }
  picture.limits.push_back(picture_limit("hot", study.job.climate.hot_C, true, hue, Stroke::dotted));
  std::vector<std::string> remarks{
      study.doors.size() > 1
          ? "counted at the marks: the worse of all doors together and each door alone, as the check counts"
          : "counted at the marks, as the check counts"};
  if (std::count(counts.begin(), counts.end(), most) > 0) {
    remarks.push_back(fmt::format("{} means {} or more", most, most));
  }
  picture.note = picture_note(remarks, uses_invented_parts(study));
  return picture;
}

}  // namespace latchwright::report
