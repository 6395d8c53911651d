// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "model/study.h"
#include "report/picture.h"
#include "sim/trace.h"
#include "verdict/check_row.h"

// What the builders of pictures share.
namespace latchwright::report {

/// "12.6 V, 80 °C", and what else holds there.
std::string picture_condition(const verdict::At& at, bool after_trip);

/// Remarks one after the other, and the one about invented parts.
std::string picture_note(const std::vector<std::string>& remarks, bool invented_parts);

/// "missed throw (front right)".
std::string missed_name(const std::string& door);

PictureLine picture_line(std::string name, std::size_t hue, Stroke stroke = Stroke::solid);

/// Of a door's line where the stroke means nothing else: tells neighbours apart in grey print too. Dotted is left free.
Stroke door_stroke(std::size_t door);
void add_point(PictureLine& line, double x, double y);
void add_mark(PictureMarks& marks, double x, double y, std::string label = "");

/// The samples of one door, in order.
std::vector<const sim::TraceSample*> samples_of(const std::vector<sim::TraceSample>& samples,
                                                std::size_t door);

/// A figure of a door's samples at a time between them, straight from one to the next.
template <class Figure>
double figure_at(const std::vector<const sim::TraceSample*>& samples, double time_s, const Figure& figure) {
  std::size_t next = 0;
  while (next < samples.size() && samples[next]->time_s < time_s) ++next;
  if (next == 0) return figure(*samples.front());
  if (next == samples.size()) return figure(*samples.back());
  const sim::TraceSample& a = *samples[next - 1];
  const sim::TraceSample& b = *samples[next];
  const double share = (time_s - a.time_s) / (b.time_s - a.time_s);
  return figure(a) + share * (figure(b) - figure(a));
}

/// A limit as a whole: across at a value of the upright axis, or upright at one of the lower axis.
PictureLimit picture_limit(std::string name, double value, bool upright, std::size_t hue, Stroke stroke);

/// One limit a different value, named `what`, and its doors where the values differ. doors:
/// indices into `names`, `values` beside them.
std::vector<PictureLimit> door_limits(const std::string& what, const std::vector<std::size_t>& doors,
                                      const std::vector<std::string>& names,
                                      const std::vector<double>& values_C);

/// All doors of a report, or the one.
std::vector<std::size_t> doors_shown(std::size_t count, std::optional<std::size_t> only);

}  // namespace latchwright::report
