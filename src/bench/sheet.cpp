// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/failure.h"
#include "base/infinity.h"
#include "base/text.h"
#include "bench/scattered.h"
#include "bench/sound_reading.h"
#include "bench/triage_members.h"
#include "bench/variants.h"
#include "model/tolerance.h"
#include "physics/motor.h"

namespace latchwright::bench {

namespace {

using base::infinity;

/// Progress of one of several readings alike.
class Share final : public base::Progress {
 public:
  Share(base::Progress& whole, std::size_t count) : whole_(whole), count_(count) {}
  void next() { ++done_; }
  void report(double fraction, std::string_view what) override {
    whole_.report((static_cast<double>(done_) + fraction) / static_cast<double>(count_), what);
  }
  bool cancelled() const override { return whole_.cancelled(); }

 private:
  base::Progress& whole_;
  std::size_t count_;
  std::size_t done_ = 0;
};

/// Ends at which a held current never halves.
bool without_trip(const SoundReading& end) { return !end.trip_s; }
bool trips(const SoundReading& reading) { return reading.trip_s.has_value(); }
bool passes_class(const SoundReading& end) { return end.class_passed_s.has_value(); }

/// Why a figure of one that is held so long is not given.
std::string held_too_long(const Scattered& all, double class_C) {
  const SoundReading& usual = all.usual;
  const std::string limit = base::exact_text(class_C);
  if (usual.class_passed_s) {
    return fmt::format("not given: held for {}, its winding passes its class of {} °C{}",
                       base::wait_text(*usual.class_passed_s), limit, usual.trip_s ? "" : " without a trip");
  }
  return "not given: it would be held past the time to switch off";
}

std::string trip_remark(const Scattered& all) {
  const SoundReading& usual = all.usual;
  const std::string some =
      !usual.trip_s && all.any_end(trips) ? "; some within their tolerances do" : std::string();
  switch (usual.limited_by) {
    case sim::LimitedBy::thermistor:
      return "until its current has halved";
    case sim::LimitedBy::winding:
      return "the current halves because the copper heats, not because the thermistor trips: that is no "
             "protection";
    case sim::LimitedBy::nothing:
      break;
  }
  return "does not trip within " + base::wait_text(stall_limit_s) + some;
}

class Sheets {
 public:
  Sheets(const model::Actuator& actuator, const Scattered& all, double load_N)
      : actuator_(actuator), all_(all), load_N_(load_N), limits_(all) {}

  std::vector<Expected> readings() {
    const SoundReading& usual = all_.usual;
    const std::string stroke = base::significant(actuator_.stroke * 1e3) + " mm";
    const std::string tripped = fmt::format("power off {} after it tripped", base::wait_text(past_trip_s));
    const std::string no_throw = "does not complete a throw at this supply";
    add("cold resistance", "ohm", "across its leads, cold; take the meter's own leads off",
        [](const SoundReading& r) { return std::optional(r.cold_ohm); });
    add("held current at once", "A", "rotor held, power just on",
        [](const SoundReading& r) { return std::optional(r.at_once_A); });
    add_trip();
    add_held(minute_s, "held current after 60 s", "rotor held all the time",
             [](const SoundReading& r) { return r.minute_A; });
    add_held(stall_limit_s, "held current in the end", "after " + base::wait_text(stall_limit_s),
             [](const SoundReading& r) { return r.end_A; });
    add_tripped("resistance just after tripping", "ohm",
                tripped + "; falls quickly at first" +
                    (usual.beyond_table ? "; beyond the end of the thermistor's table: a guess" : ""),
                [](const SoundReading& r) { return r.tripped_ohm; });
    add_tripped("moves again after", "s", moves_remark(stroke, tripped),
                [](const SoundReading& r) { return r.moves_s; });
    add_tripped("cold again after", "s", tripped + "; resistance across its leads within 10 % of cold",
                [](const SoundReading& r) { return r.cooled_s; });
    add(
        "throw time unloaded", "s",
        usual.throw_s ? fmt::format("{} with nothing on the rod, first throw", stroke) : no_throw,
        [](const SoundReading& r) { return r.throw_s; },
        [](const SoundReading& end) { return !end.throw_s; });
    add("free running current", "A", usual.free_A ? "least current of that throw" : no_throw,
        [](const SoundReading& r) { return r.free_A; });
    add("force held cold", "N", "spring scale at the rod, power just on",
        [](const SoundReading& r) { return std::optional(r.force_N); });
    return std::move(out_);
  }

 private:
  std::string moves_remark(const std::string& stroke, const std::string& tripped) const {
    const std::string against =
        fmt::format("{} against {} N (half its force held cold)", stroke, base::significant(load_N_));
    if (!all_.usual.moves_s) return fmt::format("no rest brings back a throw of {}", against);
    return fmt::format("{}; a throw of {} completes within {}", tripped, against, base::wait_text(pulse_s));
  }

  void add_nothing(const char* name, const char* unit) {
    add(name, unit, held_too_long(all_, actuator_.motor.winding_class_C),
        [](const SoundReading&) { return std::optional<double>(); });
  }

  void add_trip() {
    const SoundReading& usual = all_.usual;
    const char* name = "time to trip";
    if (!all_.may_hold(usual, usual.trip_s.value_or(stall_limit_s))) return add_nothing(name, "s");
    const auto in_time = [this](const SoundReading& r) {
      return all_.tripped_in_time(r) ? r.trip_s : std::nullopt;
    };
    const bool forever = std::isinf(all_.off_by_s);
    add(name, "s", trip_remark(all_), in_time,
        [forever](const SoundReading& end) { return forever && !end.trip_s; });
    Expected& row = out_.back();
    if (!row.value || forever) return;
    const bool later = all_.any_end([&](const SoundReading& end) { return !in_time(end); });
    if (!later && row.high <= all_.off_by_s) return;
    row.high = all_.off_by_s;
    row.remark += "; a sound one may need longer, but switch off then";
  }

  /// A current of the held rotor at s from power on.
  template <class Get>
  void add_held(double s, const char* name, std::string remark, const Get& get) {
    if (!all_.may_hold(all_.usual, s)) return add_nothing(name, "A");
    const auto held = held_for(all_, s, get);
    add(name, "A", std::move(remark), held);
    Expected& row = out_.back();
    const Band band = limits_.limited(all_, {row.low, row.high}, held);
    row.low = band.low;
    row.high = band.high;
  }

  /// A figure of one that has tripped and was held a little longer. Ends that do not trip have none; one that
  /// trips and has none never gets there.
  template <class Get>
  void add_tripped(const char* name, const char* unit, std::string remark, const Get& get) {
    const SoundReading& usual = all_.usual;
    if (!usual.trip_s) remark = "does not trip";
    if (!all_.may_hold(usual, usual.trip_s ? *usual.trip_s + past_trip_s : stall_limit_s)) {
      return add_nothing(name, unit);
    }
    add(
        name, unit, std::move(remark),
        [&](const SoundReading& one) { return all_.held_past_trip(one) ? get(one) : std::nullopt; },
        [&](const SoundReading& end) { return all_.held_past_trip(end) && !get(end); });
    if (out_.back().value && all_.any_end(without_trip)) {
      out_.back().remark += "; at one end of its tolerances it does not trip at all";
    }
  }

  template <class Get, class Open = bool (*)(const SoundReading&)>
  void add(const char* name, const char* unit, std::string remark, const Get& get,
           const Open& open = never_open) {
    Expected row;
    row.name = name;
    row.unit = unit;
    row.remark = std::move(remark);
    row.value = get(all_.usual);
    if (row.value) {
      const Band band = band_of(all_, *row.value, get, open);
      row.low = band.low;
      row.high = band.high;
      if (std::isinf(row.high)) row.remark += "; at one end of its tolerances, never";
    }
    out_.push_back(std::move(row));
  }

  const model::Actuator& actuator_;
  const Scattered& all_;
  double load_N_;
  HeldLimits limits_;
  std::vector<Expected> out_;
};

/// Seconds after power off: close where resistance falls fast, and on figures that a watch shows.
std::vector<double> cooling_times(double until_s) {
  constexpr struct {
    double to_s, step_s;
  } stretches[] = {{10, 0.25}, {30, 1}, {120, 5}, {600, 15}, {1800, 60}, {infinity, 300}};
  std::vector<double> times{0};
  for (const auto& stretch : stretches) {
    while (times.back() < until_s && times.back() + 0.5 * stretch.step_s < stretch.to_s) {
      times.push_back(times.back() + stretch.step_s);
    }
  }
  return times;
}

std::vector<CoolingPoint> cooling_of(const Scattered& all) {
  if (!all.held_past_trip(all.usual)) return {};
  double until = std::max(60.0, 1.2 * *all.usual.cooled_s);
  for (const auto& ends : all.causes) {
    for (const SoundReading& end : ends) {
      if (all.held_past_trip(end)) until = std::max(until, end.cooled_s.value_or(0));
    }
  }
  std::vector<CoolingPoint> points;
  for (const double t : cooling_times(until)) {
    const auto at = [t, &all](const SoundReading& r) {
      return all.held_past_trip(r) ? std::optional(r.leads_after(t)) : std::nullopt;
    };
    const double usual = *at(all.usual);
    const Band band = band_of(all, usual, at, never_open);
    points.push_back({t / 60, usual, band.low, band.high});
  }
  return points;
}

std::vector<HeldPoint> held_of(const Scattered& all) {
  std::vector<HeldPoint> points;
  const auto& times = held_times();
  const HeldLimits limits(all);
  for (std::size_t k = 0; k < times.size(); ++k) {
    if (!all.may_hold(all.usual, times[k])) break;
    const auto at = held_for(all, times[k], [k](const SoundReading& r) { return r.held_A[k]; });
    const double usual = all.usual.held_A[k];
    const Band band = limits.limited(all, band_of(all, usual, at, never_open), at);
    points.push_back({times[k], usual, band.low, band.high});
  }
  return points;
}

std::vector<std::string> scatter_words(const model::Actuator& actuator) {
  std::vector<std::string> words;
  for (const bool stated : {true, false}) {
    std::vector<std::string> some;
    for (const auto& tolerance : model::every_tolerance(actuator)) {
      if (tolerance.stated != stated) continue;
      some.push_back(fmt::format("{} ±{} %", model::figure_words(tolerance.pointer),
                                 base::significant(100 * tolerance.half_width)));
    }
    if (some.empty()) continue;
    words.push_back(fmt::format("{} ({})", fmt::join(some, ", "),
                                stated ? "as the part states" : "usual: the part states none"));
  }
  if (actuator.ptc.after_trip_ratio != 1) {
    words.push_back(fmt::format("a thermistor that has tripped before ({} times its resistance as new)",
                                base::significant(actuator.ptc.after_trip_ratio)));
  }
  return words;
}

/// A time to be done by: never rounded up.
std::string no_later_than(double s) {
  constexpr double short_s = 10, minute = 60, watch_s = 600;
  if (s < short_s) return base::exact_text(std::floor(10 * s) / 10) + " s";
  if (s < watch_s) return base::exact_text(std::floor(s)) + " s";
  return base::exact_text(std::floor(s / minute)) + " min";
}

std::vector<std::string> warnings_of(const model::Actuator& actuator, const Sheet& sheet,
                                     const Scattered& all) {
  std::vector<std::string> lines;
  const std::string class_C = base::exact_text(actuator.motor.winding_class_C);
  if (all.usual.class_passed_s) {
    lines.push_back(fmt::format(
        "Switch off within {}: held longer, its winding passes its class ({} °C). Its thermistor does not "
        "protect it in time at this voltage and ambient. What comes later is not given.",
        no_later_than(*sheet.off_by_s), class_C));
  } else if (sheet.off_by_s) {
    lines.push_back(fmt::format(
        "Where the current has not collapsed within {}, switch off: held longer, the winding of one at the "
        "end of its "
        "tolerances may pass what a fault permits ({} °C).",
        no_later_than(*sheet.off_by_s), base::exact_text(physics::winding_fault_limit_C(actuator.motor))));
  }
  if (!all.usual.class_passed_s && all.any_end(passes_class)) {
    lines.push_back(
        fmt::format("Take the readings of a held rotor once, not again and again: until it trips, the "
                    "winding of one at the end of "
                    "its tolerances passes its class ({} °C).",
                    class_C));
  }
  // Voltages of 6, 12 and 24 V vehicles lie a factor of two apart.
  const double ordinary = nominal_voltage(actuator);
  constexpr double far = 1.4;
  if (sheet.supply_V > far * ordinary || sheet.supply_V * far < ordinary) {
    lines.push_back(fmt::format("By its stall current this is a part for about {} V: {} V is far from it.",
                                base::significant(ordinary), base::exact_text(sheet.supply_V)));
  }
  return lines;
}

}  // namespace

Sheet make_sheet(const model::Actuator& actuator, const model::PtcCurve& curve, double ambient_C,
                 double supply_V, base::Progress& progress) {
  const std::vector<Scatter> scatter = scatter_of(actuator);
  std::size_t count = 1;
  for (const Scatter& cause : scatter) count += cause.ends.size();
  Share share(progress, count);
  const sim::Condition at{.voltage_V = supply_V, .ambient_C = ambient_C};
  // The same spring for all of them.
  const double load_N = 0.5 * cold_force(actuator, curve, at);
  Scattered all{read_sound(actuator, curve, at, load_N, share), {}};
  for (const Scatter& cause : scatter) {
    std::vector<SoundReading> ends;
    for (const model::Actuator& end : cause.ends) {
      share.next();
      ends.push_back(read_sound(end, curve, at, load_N, share));
    }
    all.causes.push_back(std::move(ends));
  }
  Sheet sheet;
  sheet.ambient_C = ambient_C;
  sheet.supply_V = supply_V;
  sheet.held_s = all.usual.trip_s ? *all.usual.trip_s + past_trip_s : stall_limit_s;
  sheet.off_by_s = all.off_by();
  all.off_by_s = sheet.off_by_s.value_or(infinity);
  sheet.warnings = warnings_of(actuator, sheet, all);
  sheet.readings = Sheets(actuator, all, load_N).readings();
  sheet.cooling = cooling_of(all);
  sheet.held = held_of(all);
  sheet.scatter = scatter_words(actuator);
  return sheet;
}

}  // namespace latchwright::bench
