// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/failure.h"
#include "base/text.h"
#include "report/check_report.h"
#include "report/picture_tools.h"
#include "report/pictures.h"
#include "verdict/findings.h"
#include "verdict/nothing_left.h"

// What the wires take from the voltage, and how warm they get.
namespace latchwright::report {

namespace {

/// Loss in V from the battery up to each point of a door's run.
class Losses {
 public:
  Losses(const model::Study& study, std::size_t door, double ambient_C)
      : shared_(sim::shared_ohms(study, ambient_C)),
        branch_(sim::branch_ohms(study, door, ambient_C)),
        own_fuse_(study.doors[door].fuse != nullptr) {}

  std::vector<std::string> points() const {
    std::vector<std::string> words{"battery", "main fuse", "feed", "relay"};
    if (own_fuse_) words.push_back("own fuse");
    words.push_back("door run");
    if (shared_.ground > 0) words.push_back("ground point");
    return words;
  }

  PictureLine line(std::string name, std::size_t hue, Stroke stroke, double all_A, double own_A) const {
    PictureLine drawn = picture_line(std::move(name), hue, stroke);
    double lost = 0;
    const auto next = [&](double volts) {
      lost += volts;
      add_point(drawn, static_cast<double>(drawn.x.size()), lost);
    };
    next(0);
    next(all_A * shared_.fuse);
    next(all_A * shared_.wire);
    next(all_A * shared_.contacts);
    if (own_fuse_) next(own_A * branch_.fuse);
    next(own_A * (branch_.wire + branch_.joints));
    if (shared_.ground > 0) next(all_A * shared_.ground);
    return drawn;
  }

 private:
  sim::SharedOhms shared_;
  sim::BranchOhms branch_;
  bool own_fuse_;
};

double sum_of(const std::vector<double>& amps) { return std::accumulate(amps.begin(), amps.end(), 0.0); }

}  // namespace

std::size_t worst_drop_door(const model::Study& study, const verdict::At& at, bool after_trip) {
  const sim::Circuit circuit = sim::make_circuit(
      study, {.voltage_V = at.voltage_V, .ambient_C = at.ambient_C, .after_trip = after_trip});
  const auto stall = sim::ambient_stall_currents(circuit);
  // The shared wires take the same from each.
  const auto own_loss = [&](std::size_t k) { return stall[k] * circuit.doors[k].branch_ohm; };
  std::size_t worst = 0;
  for (std::size_t k = 1; k < stall.size(); ++k) {
    if (own_loss(k) > own_loss(worst)) worst = k;
  }
  return worst;
}

Picture voltage_along_the_run(const model::Study& study, std::size_t door, const verdict::At& at,
                              bool after_trip) {
  const sim::Circuit circuit = sim::make_circuit(
      study, {.voltage_V = at.voltage_V, .ambient_C = at.ambient_C, .after_trip = after_trip});
  const Losses losses(study, door, at.ambient_C);
  const auto stall = sim::ambient_stall_currents(circuit);

  Picture picture;
  picture.key = "voltage_along_the_run";
  picture.title = "Voltage lost on the way to " + circuit.doors[door].name;
  picture.condition = picture_condition(at, after_trip) + ", all doors driven";
  picture.across.title = "up to";
  picture.across.words = losses.points();
  picture.up.title = "lost in the wires";
  picture.up.unit = "V";
  picture.up.low = 0;

  std::vector<std::string> remarks;
  const auto draw = [&](const std::string& when, double all_A, double own_A, Stroke stroke, Shape shape) {
    PictureLine line = losses.line(when, door, stroke, all_A, own_A);
    PictureMarks marks;
    marks.name = when;
    marks.hue = door;
    marks.shape = shape;
    marks.x = line.x;
    marks.y = line.y;
    marks.labels.resize(line.x.size());
    const double volts = line.y.back();
    marks.labels.back() =
        fmt::format("{} V, {} %", base::significant(volts), base::significant(100 * volts / at.voltage_V));
    picture.lines.push_back(std::move(line));
    picture.marks.push_back(std::move(marks));
  };
  const double other_A = study.job.feed.other_load_A;
  if (verdict::nothing_left(stall)) {
    remarks.push_back(verdict::nothing_left_text(other_A));
  } else {
    const auto throws = verdict::find_throws(study, circuit, study.job.pulse.on_s, verdict::Detail::brief);
    draw("held at standstill", sum_of(stall), stall[door], Stroke::solid, Shape::circle);
    draw("while the rod runs", throws.running_sum_A, throws.running_A[door], Stroke::dashed, Shape::square);
    if (other_A > 0) remarks.push_back("the drop by the other load itself is not counted");
  }
  PictureLimit limit;
  const double permitted = study.job.limits.volt_drop_percent;
  limit.value = permitted / 100 * at.voltage_V;
  limit.name = fmt::format("permitted, {} %", base::significant(permitted));
  limit.hue = door;
  picture.limits.push_back(std::move(limit));
  picture.note = picture_note(remarks, uses_invented_parts(study));
  return picture;
}

namespace {

/// Where a wire lies and what heats it.
struct Heated {
  const model::Wire& wire;
  double bundle_factor;
  double ambient_C;
};

constexpr double first_shown_s = 0.01;

/// As the check counts it: one current for all of the time. Returns the temperature at its end.
double draw_held(const physics::WireHeating& heating, const Heated& where, const verdict::HeldCurrent& held,
                 const base::Progress& progress, PictureLine& line) {
  constexpr int a_decade = 12;
  const double end_s = std::max(held.seconds, first_shown_s);
  const int pieces = std::max(1, static_cast<int>(std::ceil(a_decade * std::log10(end_s / first_shown_s))));
  double reached = where.ambient_C;
  for (int n = 0; n <= pieces; ++n) {
    if (progress.cancelled()) throw base::Cancelled();
    const double t = n == pieces
                         ? end_s
                         : first_shown_s * std::pow(end_s / first_shown_s, static_cast<double>(n) / pieces);
    reached = heating.temperature_after(held.current_A, where.ambient_C, where.ambient_C, t);
    if (!std::isfinite(reached)) break;
    add_point(line, t, reached);
  }
  return reached;
}

/// What flows in the wire at each moment of a stall.
struct Flow {
  std::vector<double> time_s, current_A;
};

Flow flow_of(const std::vector<sim::TraceSample>& samples, std::size_t doors, std::optional<std::size_t> door,
             double other_A) {
  Flow flow;
  for (std::size_t n = 0; n + doors <= samples.size(); n += doors) {
    double amps = door ? 0 : other_A;
    for (std::size_t k = 0; k < doors; ++k) {
      if (!door || k == *door) amps += samples[n + k].current_A;
    }
    flow.time_s.push_back(samples[n].time_s);
    flow.current_A.push_back(amps);
  }
  return flow;
}

/// With the current as it falls, in steps of one mean square each.
void draw_flow(const physics::WireHeating& heating, const Heated& where, const Flow& flow,
               const base::Progress& progress, PictureLine& line) {
  double T = where.ambient_C;
  for (std::size_t n = 0; n + 1 < flow.time_s.size(); ++n) {
    const double dt = flow.time_s[n + 1] - flow.time_s[n];
    if (dt <= 0) continue;
    if (progress.cancelled()) throw base::Cancelled();
    const double a = flow.current_A[n], b = flow.current_A[n + 1];
    // Of a current that runs straight from one to the other.
    const double square = (a * a + a * b + b * b) / 3;
    T = heating.temperature_after(std::sqrt(square), where.ambient_C, T, dt);
    if (!std::isfinite(T)) return;
    if (flow.time_s[n + 1] >= first_shown_s) add_point(line, flow.time_s[n + 1], T);
  }
}

}  // namespace

Picture wire_temperature(const model::Study& study, std::optional<std::size_t> door, const verdict::At& at,
                         base::Progress& progress, bool after_trip) {
  const model::Feed& feed = study.job.feed;
  const Heated where{door ? study.door_wire(*door) : study.feed_wire(),
                     door ? study.job.doors[*door].bundle_factor : feed.bundle_factor, at.ambient_C};
  const sim::Circuit circuit = sim::make_circuit(
      study, {.voltage_V = at.voltage_V, .ambient_C = at.ambient_C, .after_trip = after_trip});
  constexpr double growth = 0.08;
  sim::TraceObserver trace(circuit, stall_spacing_s, growth);
  const auto stall = sim::simulate_stall(circuit, verdict::fault_stall_s, {&trace}, progress);
  const verdict::HeldCurrent held = verdict::held_current(study, stall, door);
  const physics::WireHeating heating(where.wire, where.bundle_factor);

  Picture picture;
  picture.key = "wire_temperature";
  picture.title = door ? "Wire of the door run, " + study.job.doors[*door].name + ", while every rod is held"
                       : std::string("Wire of the feed while every rod is held");
  picture.condition = picture_condition(at, after_trip);
  picture.across.title = "time at standstill";
  picture.across.unit = "s";
  picture.across.logarithmic = true;
  picture.across.low = first_shown_s;
  picture.across.high = verdict::fault_stall_s;
  picture.up.title = "conductor";
  picture.up.unit = "°C";

  const std::size_t hue = door.value_or(study.doors.size());
  const std::string thermistors =
      door || study.doors.size() == 1 ? "the thermistor trips" : "the thermistors trip";
  PictureLine counted =
      picture_line(fmt::format("as the check counts: {} A {}", base::significant(held.current_A),
                               held.trips ? "until " + thermistors : "for " + base::wait_text(held.seconds)),
                   hue);
  const double reached = draw_held(heating, where, held, progress, counted);
  std::vector<std::string> remarks;
  if (std::isfinite(reached)) {
    PictureMarks marks;
    marks.name = held.trips ? thermistors : "after " + base::wait_text(held.seconds);
    marks.hue = hue;
    marks.shape = Shape::diamond;
    add_mark(marks, counted.x.back(), reached, "after " + base::significant(counted.x.back()) + " s");
    picture.marks.push_back(std::move(marks));
  } else {
    remarks.push_back("the wire burns");
  }
  picture.lines.push_back(std::move(counted));
  if (held.trips) {
    const double other_A = feed.other_load_A;
    const Flow flow = flow_of(trace.samples(), circuit.doors.size(), door, other_A);
    PictureLine real = picture_line("with the current falling as the thermistors warm", hue, Stroke::dashed);
    draw_flow(heating, where, flow, progress, real);
    picture.lines.push_back(std::move(real));
  }
  PictureLimit limit;
  limit.name = "wire's class";
  limit.value = where.wire.class_C;
  limit.hue = hue;
  picture.limits.push_back(std::move(limit));
  picture.note = picture_note(remarks, uses_invented_parts(study));
  return picture;
}

}  // namespace latchwright::report
