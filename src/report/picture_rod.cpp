// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "report/check_report.h"
#include "report/picture_tools.h"
#include "report/pictures.h"
#include "sim/cycle.h"
#include "verdict/nothing_left.h"

// What moves the rod: force over its travel, travel over time.
namespace latchwright::report {

namespace {

constexpr double mm = 1e3;  // a metre

/// The rod's force over its travel, with a point at every kink.
PictureLine load_line(const physics::RodLoad& load, double stroke, std::string name, std::size_t hue,
                      Stroke stroke_style) {
  PictureLine line = picture_line(std::move(name), hue, stroke_style);
  constexpr int pieces = 72;
  std::vector<double> places;
  for (int n = 0; n <= pieces; ++n) places.push_back(stroke * n / pieces);
  for (double x = load.piece(0).until; x < stroke; x = load.piece(x).until) places.push_back(x);
  std::sort(places.begin(), places.end());
  places.erase(std::unique(places.begin(), places.end()), places.end());
  for (const double x : places) add_point(line, x * mm, load.force(x));
  return line;
}

/// One door in a first throw of all.
struct OneThrow {
  bool unlocking;
  std::optional<double> arrival_s;
  std::vector<sim::TraceSample> samples;
};

OneThrow one_throw(const sim::Circuit& circuit, std::size_t door, double on_s, bool unlocking) {
  constexpr int samples = 300;
  sim::TraceObserver trace(circuit, on_s / samples);
  OneThrow seen{unlocking, sim::single_throw(circuit, on_s, unlocking, {&trace})[door], {}};
  for (const sim::TraceSample* sample : samples_of(trace.samples(), door)) seen.samples.push_back(*sample);
  return seen;
}

bool slower(const OneThrow& a, const OneThrow& b) {
  if (!a.arrival_s || !b.arrival_s) return b.arrival_s.has_value();
  return *a.arrival_s > *b.arrival_s;
}

}  // namespace

Picture rod_force(const model::Study& study, std::size_t door, const verdict::At& at,
                  const std::optional<Warmed>& warmed, bool after_trip) {
  const sim::Circuit circuit = sim::make_circuit(
      study, {.voltage_V = at.voltage_V, .ambient_C = at.ambient_C, .after_trip = after_trip});
  const sim::DoorCircuit& own = circuit.doors[door];
  const model::Limits& wanted = study.job.limits;

  Picture picture;
  picture.key = "rod_force";
  picture.title = "Rod of " + own.name + ": force it takes, force the actuator has";
  picture.condition = picture_condition(at, after_trip);
  picture.across.title = "travel";
  picture.across.unit = "mm";
  picture.across.low = 0;
  picture.across.high = own.stroke * mm;
  picture.up.title = "force";
  picture.up.unit = "N";

  const bool two_ways = study.job.doors[door].rod_force_unlock.has_value();
  picture.lines.push_back(load_line(own.lock_load, own.stroke, two_ways ? "rod takes, locking" : "rod takes",
                                    door, Stroke::solid));
  if (two_ways) {
    picture.lines.push_back(
        load_line(own.unlock_load, own.stroke, "rod takes, unlocking", door, Stroke::dotted));
  }
  // As the check wants it: more at the lowest voltage than elsewhere, or less.
  const double factor =
      at.voltage_V <= study.job.supply.low_V ? wanted.force_factor_low : wanted.force_factor;
  const double need = factor * std::max(own.lock_load.largest(), own.unlock_load.largest());
  PictureLimit limit;
  limit.name = fmt::format("wanted, {} times the largest", base::significant(factor));
  limit.value = need;
  limit.hue = door;
  limit.stroke = Stroke::dash_dot;
  picture.limits.push_back(std::move(limit));

  const auto available = [&](const std::string& when, const std::vector<physics::Temperatures>& T,
                             Stroke stroke) {
    auto amps = sim::standstill_currents(circuit, T);
    PictureLimit has;
    has.name = "actuator has, " + when;
    has.value = sim::standstill_force(own, amps[door], T[door]);
    has.hue = study.doors.size();
    has.stroke = stroke;
    picture.limits.push_back(std::move(has));
    return amps;
  };
  physics::Temperatures ambient;
  ambient.fill(at.ambient_C);
  const auto amps =
      available("fresh", std::vector<physics::Temperatures>(circuit.doors.size(), ambient), Stroke::solid);
  if (warmed) available(warmed->when, warmed->doors, Stroke::dashed);
  std::vector<std::string> remarks{"force at standstill, all doors driven"};
  if (verdict::nothing_left(amps)) remarks.push_back(verdict::nothing_left_text(study.job.feed.other_load_A));
  picture.note = picture_note(remarks, uses_invented_parts(study));
  return picture;
}

Picture throw_in_time(const model::Study& study, std::size_t door, const verdict::At& at, double on_s,
                      bool after_trip) {
  const sim::Circuit circuit = sim::make_circuit(
      study, {.voltage_V = at.voltage_V, .ambient_C = at.ambient_C, .after_trip = after_trip});
  const sim::DoorCircuit& own = circuit.doors[door];
  const bool two_ways = study.job.doors[door].rod_force_unlock.has_value();

  Picture picture;
  picture.key = "throw_in_time";
  picture.title = "First throw of " + own.name + ", all doors driven";
  picture.condition =
      fmt::format("{}, pulse {} s", picture_condition(at, after_trip), base::exact_text(on_s));
  picture.across.title = "time since power on";
  picture.across.unit = "s";
  picture.across.low = 0;
  picture.across.high = on_s;
  picture.up.title = "travel of the rod";
  picture.up.unit = "mm";
  picture.up.low = 0;
  picture.right.emplace();
  picture.right->title = "current";
  picture.right->unit = "A";
  picture.right->low = 0;

  // Another door that takes another force when unlocking changes this one's unlocking too, a little: of its
  // own two ways, alike but for that, only the slower is drawn.
  const bool any_two_ways = std::any_of(study.job.doors.begin(), study.job.doors.end(),
                                        [](const auto& each) { return each.rod_force_unlock.has_value(); });
  std::vector<OneThrow> throws{one_throw(circuit, door, on_s, false)};
  if (any_two_ways) throws.push_back(one_throw(circuit, door, on_s, true));
  if (any_two_ways && !two_ways) throws.erase(throws.begin() + (slower(throws[1], throws[0]) ? 0 : 1));
  for (const OneThrow& each : throws) {
    const std::string way = !two_ways ? "" : each.unlocking ? ", unlocking" : ", locking";
    const bool second = two_ways && each.unlocking;
    PictureLine travel = picture_line("travel" + way, door, second ? Stroke::dotted : Stroke::solid);
    PictureLine current = picture_line("current" + way, door, second ? Stroke::dash_dot : Stroke::dashed);
    current.right = true;
    for (const sim::TraceSample& sample : each.samples) {
      add_point(travel, sample.time_s, sample.rod_m * mm);
      add_point(current, sample.time_s, sample.current_A);
    }
    PictureMarks marks;
    marks.hue = door;
    if (each.arrival_s) {
      marks.name = "arrives" + way;
      marks.shape = second ? Shape::square : Shape::circle;
      add_mark(marks, *each.arrival_s, own.stroke * mm, base::significant(*each.arrival_s) + " s");
    } else {
      marks.name = missed_name(own.name);
      marks.shape = Shape::cross;
      marks.x.push_back(on_s);
      marks.y.push_back(travel.y.empty() ? 0 : travel.y.back());
    }
    picture.lines.push_back(std::move(travel));
    picture.lines.push_back(std::move(current));
    picture.marks.push_back(std::move(marks));
  }
  PictureLimit stroke;
  stroke.name = "travel that the lock needs";
  stroke.value = own.stroke * mm;
  stroke.hue = door;
  picture.limits.push_back(std::move(stroke));
  picture.note = picture_note({}, uses_invented_parts(study));
  return picture;
}

}  // namespace latchwright::report
