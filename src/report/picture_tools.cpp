// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/picture_tools.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"

namespace latchwright::report {

std::string picture_condition(const verdict::At& at, bool after_trip) {
  return fmt::format("{} V, {} °C{}", base::exact_text(at.voltage_V), base::exact_text(at.ambient_C),
                     after_trip ? ", thermistors have tripped before" : "");
}

std::string picture_note(const std::vector<std::string>& remarks, bool invented_parts) {
  std::vector<std::string> all = remarks;
  if (invented_parts) all.push_back("example parts: measure yours before promising this");
  return fmt::format("{}", fmt::join(all, "; "));
}

std::string missed_name(const std::string& door) { return "missed throw (" + door + ")"; }

Stroke door_stroke(std::size_t door) {
  constexpr Stroke strokes[] = {Stroke::solid, Stroke::dashed, Stroke::dash_dot};
  return strokes[door % std::size(strokes)];
}

PictureLine picture_line(std::string name, std::size_t hue, Stroke stroke) {
  PictureLine line;
  line.name = std::move(name);
  line.hue = hue;
  line.stroke = stroke;
  return line;
}

void add_point(PictureLine& line, double x, double y) {
  line.x.push_back(x);
  line.y.push_back(y);
}

void add_mark(PictureMarks& marks, double x, double y, std::string label) {
  marks.x.push_back(x);
  marks.y.push_back(y);
  marks.labels.push_back(std::move(label));
}

std::vector<const sim::TraceSample*> samples_of(const std::vector<sim::TraceSample>& samples,
                                                std::size_t door) {
  std::vector<const sim::TraceSample*> own;
  for (const auto& sample : samples) {
    if (sample.door == door) own.push_back(&sample);
  }
  return own;
}

PictureLimit picture_limit(std::string name, double value, bool upright, std::size_t hue, Stroke stroke) {
  PictureLimit limit;
  limit.name = std::move(name);
  limit.value = value;
  limit.upright = upright;
  limit.hue = hue;
  limit.stroke = stroke;
  return limit;
}

std::vector<PictureLimit> door_limits(const std::string& what, const std::vector<std::size_t>& doors,
                                      const std::vector<std::string>& names,
                                      const std::vector<double>& values_C) {
  std::vector<PictureLimit> limits;
  for (std::size_t n = 0; n < doors.size(); ++n) {
    const double value = values_C[doors[n]];
    if (std::any_of(limits.begin(), limits.end(), [&](const auto& known) { return known.value == value; })) {
      continue;
    }
    PictureLimit limit;
    limit.value = value;
    limit.hue = doors[n];
    limits.push_back(std::move(limit));
  }
  for (PictureLimit& limit : limits) {
    limit.name = what;
    if (limits.size() < 2) continue;
    std::vector<std::string> whose;
    for (const std::size_t k : doors) {
      if (values_C[k] == limit.value) whose.push_back(names[k]);
    }
    limit.name += fmt::format(" ({})", fmt::join(whose, ", "));
  }
  return limits;
}

std::vector<std::size_t> doors_shown(std::size_t count, std::optional<std::size_t> only) {
  if (only) return {*only};
  std::vector<std::size_t> all(count);
  for (std::size_t k = 0; k < count; ++k) all[k] = k;
  return all;
}

}  // namespace latchwright::report
