// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "report/check_report.h"
#include "report/picture_tools.h"
#include "report/pictures.h"
#include "sim/rest.h"

// Locking again and again, and the rest after a lockout.
namespace latchwright::report {

namespace {

std::string plan_condition(const CycleReport& report) {
  return fmt::format("{}, pulse {} s, rest {} s", picture_condition(report.at, report.after_trip),
                     base::exact_text(report.plan.on_s), base::exact_text(report.plan.gap_s));
}

Axis time_axis() {
  Axis axis;
  axis.title = "time";
  axis.unit = "s";
  axis.low = 0;
  return axis;
}

/// Study time at which a throw's pulse ends, s.
double pulse_end(const sim::CyclePlan& plan, int throw_number) {
  return (throw_number - 1) * (plan.on_s + plan.gap_s) + plan.on_s;
}

/// Throws that a door did not complete; of a report that names only the lockout, that one.
std::vector<int> missed_throws(const CycleReport& report, std::size_t door) {
  const auto& known = report.result.doors[door].missed;
  if (!known.empty()) return known;
  const auto& lockout = report.result.lockout;
  if (lockout && std::count(lockout->doors.begin(), lockout->doors.end(), door) > 0) {
    return {lockout->throw_number};
  }
  return {};
}

/// The sample at a pulse's end, before the current drops; null where the trace does not reach it.
const sim::TraceSample* at_pulse_end(const std::vector<const sim::TraceSample*>& own, double end_s) {
  const double near = 1e-9 * std::max(1.0, end_s);
  for (const sim::TraceSample* sample : own) {
    if (sample->time_s >= end_s - near) return sample->time_s <= end_s + near ? sample : nullptr;
  }
  return nullptr;
}

template <class Figure>
PictureMarks missed_marks(const CycleReport& report, std::size_t door,
                          const std::vector<const sim::TraceSample*>& own, const Figure& figure) {
  PictureMarks marks;
  marks.name = missed_name(report.doors[door]);
  marks.hue = door;
  marks.shape = Shape::cross;
  for (const int number : missed_throws(report, door)) {
    const double end_s = pulse_end(report.plan, number);
    const sim::TraceSample* sample = at_pulse_end(own, end_s);
    if (sample == nullptr) continue;
    marks.x.push_back(end_s);
    marks.y.push_back(figure(*sample));
  }
  return marks;
}

}  // namespace

Picture cycling_temperatures(const CycleReport& report, const std::vector<sim::TraceSample>& samples,
                             std::optional<std::size_t> only) {
  Picture picture;
  picture.key = "cycling_temperatures";
  picture.title = "Temperatures while locking again and again";
  picture.condition = plan_condition(report);
  picture.across = time_axis();
  picture.up.title = "temperature";
  picture.up.unit = "°C";
  const auto doors = doors_shown(report.doors.size(), only);
  bool guess = false;
  for (const std::size_t k : doors) {
    const auto own = samples_of(samples, k);
    PictureLine winding = picture_line("winding, " + report.doors[k], k);
    PictureLine thermistor = picture_line("thermistor, " + report.doors[k], k, Stroke::dashed);
    for (const sim::TraceSample* sample : own) {
      add_point(winding, sample->time_s, sample->winding_C);
      add_point(thermistor, sample->time_s, sample->temperature_C[physics::ptc]);
    }
    PictureMarks missed = missed_marks(report, k, own, [](const sim::TraceSample& s) { return s.winding_C; });
    if (!missed.x.empty()) picture.marks.push_back(std::move(missed));
    picture.lines.push_back(std::move(winding));
    picture.lines.push_back(std::move(thermistor));
    guess = guess || report.result.doors[k].beyond_table;
  }
  picture.limits = door_limits("winding class", doors, report.doors, report.winding_class_C);
  std::vector<std::string> remarks;
  if (guess) remarks.push_back("a thermistor passes the end of its table: beyond it figures are a guess");
  picture.note = picture_note(remarks, report.invented_parts);
  return picture;
}

Picture cycling_current(const CycleReport& report, const std::vector<sim::TraceSample>& samples,
                        std::optional<std::size_t> only) {
  Picture picture;
  picture.key = "cycling_current";
  picture.title = "Current while locking again and again";
  picture.condition = plan_condition(report);
  picture.across = time_axis();
  picture.up.title = "current of each door";
  picture.up.unit = "A";
  picture.up.low = 0;
  const auto& plan = report.plan;
  for (const std::size_t k : doors_shown(report.doors.size(), only)) {
    const auto own = samples_of(samples, k);
    PictureLine line = picture_line(report.doors[k], k, door_stroke(k));
    int pulse = 1;
    for (std::size_t n = 0; n < own.size(); ++n) {
      const double end_s = pulse_end(plan, pulse);
      const double near = 1e-9 * std::max(1.0, end_s);
      add_point(line, own[n]->time_s, own[n]->current_A);
      if (own[n]->time_s < end_s - near) continue;
      // Two samples may stand on the end: the power goes off after the second.
      if (n + 1 < own.size() && own[n + 1]->time_s <= end_s + near && own[n + 1]->current_A > 0) continue;
      // The next sample may be some way into the rest.
      add_point(line, own[n]->time_s, 0);
      ++pulse;
    }
    PictureMarks missed = missed_marks(report, k, own, [](const sim::TraceSample& s) { return s.current_A; });
    if (!missed.x.empty()) picture.marks.push_back(std::move(missed));
    picture.lines.push_back(std::move(line));
  }
  picture.note = picture_note({}, report.invented_parts);
  return picture;
}

std::optional<Picture> recovery(const model::Study& study, const CycleReport& report,
                                const std::vector<sim::TraceSample>& samples) {
  const auto& lockout = report.result.lockout;
  if (!lockout || !lockout->recovery || !lockout->recovery->recovery_s) return std::nullopt;
  const double again_s = *lockout->recovery->recovery_s;
  const double cooled_s = lockout->recovery->cooled_s;
  const sim::Circuit circuit = sim::make_circuit(
      study,
      {.voltage_V = report.at.voltage_V, .ambient_C = report.at.ambient_C, .after_trip = report.after_trip});
  const sim::Rest rest(circuit);

  Picture picture;
  picture.key = "recovery";
  picture.title = "Rest after it stopped working";
  picture.condition = plan_condition(report);
  picture.across = time_axis();
  picture.across.title = "rest since the missed throw";
  picture.up.title = "temperature";
  picture.up.unit = "°C";
  const double end_s = 1.15 * std::max({again_s, cooled_s, 1.0});
  picture.across.high = end_s;
  constexpr int pieces = 160;
  for (const std::size_t k : lockout->doors) {
    const auto own = samples_of(samples, k);
    const sim::TraceSample* start = at_pulse_end(own, pulse_end(report.plan, lockout->throw_number));
    if (start == nullptr) continue;
    PictureLine winding = picture_line("winding, " + report.doors[k], k);
    PictureLine thermistor = picture_line("thermistor, " + report.doors[k], k, Stroke::dashed);
    physics::Temperatures T{};
    for (int n = 0; n <= pieces; ++n) {
      // A rest falls quickly at first.
      const double share = static_cast<double>(n) / pieces;
      const double seconds = end_s * share * share;
      rest.door_after(k, start->temperature_C.data(), seconds, T.data());
      add_point(winding, seconds, circuit.doors[k].heat.hottest_coil(T.data()));
      add_point(thermistor, seconds, T[physics::ptc]);
    }
    picture.lines.push_back(std::move(winding));
    picture.lines.push_back(std::move(thermistor));
  }
  const auto moment = [&](const std::string& what, double seconds, Stroke stroke) {
    PictureLimit limit;
    limit.name = what;
    limit.value = seconds;
    limit.upright = true;
    limit.stroke = stroke;
    limit.hue = lockout->doors.front();
    picture.limits.push_back(std::move(limit));
  };
  moment("one throw works again", again_s, Stroke::dashed);
  moment("as good as cold, to a meter", cooled_s, Stroke::dotted);
  picture.note = picture_note({}, report.invented_parts);
  return picture;
}

}  // namespace latchwright::report
