// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "report/check_report.h"
#include "report/picture_tools.h"
#include "report/pictures.h"

// The thermistor's ratio curve and where on it the door works.
namespace latchwright::report {

Picture thermistor_curve(const model::Study& study, std::size_t door, const std::vector<WorkingPoint>& points,
                         bool after_trip) {
  // The circuit's own thermistor: its resistance holds what a trip leaves behind.
  const sim::Circuit circuit = sim::make_circuit(study,
                                                 {.voltage_V = study.job.supply.usual_V,
                                                  .ambient_C = study.job.climate.usual_C,
                                                  .after_trip = after_trip},
                                                 {door});
  const physics::Thermistor& thermistor = circuit.doors[0].ptc;
  const physics::RatioCurve& curve = *thermistor.curve;
  const auto ohms = [&](double T_C) { return base::significant(thermistor.resistance(T_C).value) + " Ω"; };

  Picture picture;
  picture.key = "thermistor_curve";
  picture.title = "Thermistor, " + study.job.doors[door].name + ": resistance over its temperature";
  if (after_trip) picture.condition = "has tripped before";
  picture.across.title = "thermistor";
  picture.across.unit = "°C";
  picture.up.title = "R over R at 25 °C";
  picture.up.logarithmic = true;

  PictureLine line = picture_line("ratio curve", door);
  const auto& table = curve.curve().points_x();
  constexpr int pieces = 16;  // of each piece of the table
  for (std::size_t n = 0; n + 1 < table.size(); ++n) {
    for (int k = 0; k < pieces; ++k) {
      const double T = table[n] + (table[n + 1] - table[n]) * k / pieces;
      add_point(line, T, curve.ratio(T));
    }
  }
  add_point(line, table.back(), curve.ratio(table.back()));

  std::vector<std::string> remarks;
  const Shape shapes[] = {Shape::circle, Shape::square, Shape::triangle, Shape::diamond};
  double hottest = table.back(), coldest = table.front();
  for (std::size_t n = 0; n < points.size(); ++n) {
    PictureMarks marks;
    marks.name = points[n].name;
    marks.hue = door;
    marks.shape = shapes[n % std::size(shapes)];
    add_mark(marks, points[n].ptc_C, curve.ratio(points[n].ptc_C), ohms(points[n].ptc_C));
    picture.marks.push_back(std::move(marks));
    hottest = std::max(hottest, points[n].ptc_C);
    coldest = std::min(coldest, points[n].ptc_C);
  }
  if (hottest > table.back()) {
    add_point(line, hottest, curve.ratio(hottest));
    remarks.push_back("beyond the end of the thermistor's table its last value is taken, a guess");
  }
  if (coldest < table.front()) {
    line.x.insert(line.x.begin(), coldest);
    line.y.insert(line.y.begin(), curve.ratio(coldest));
  }
  picture.lines.push_back(std::move(line));
  if (const auto top = curve.switch_T_C()) {
    PictureLimit limit;
    limit.name = "switch point";
    limit.value = *top;
    limit.upright = true;
    limit.hue = door;
    picture.limits.push_back(std::move(limit));
  } else {
    remarks.push_back("in its table it never reaches twice its smallest resistance: no switch point");
  }
  picture.note = picture_note(remarks, uses_invented_parts(study));
  return picture;
}

}  // namespace latchwright::report
