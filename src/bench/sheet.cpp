// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/failure.h"
#include "base/text.h"
#include "bench/sound_reading.h"
#include "bench/triage_members.h"
#include "bench/variants.h"
#include "model/tolerance.h"

namespace latchwright::bench {

namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();

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

/// The part as stated, and those that scatter about it.
struct Scattered {
  SoundReading usual;
  std::vector<std::vector<SoundReading>> causes;  ///< each with its ends
};

struct Band {
  double low = 0, high = 0;
};

/// How far a reading lies from the usual one: as a factor, whose logarithm this is; as a difference where
/// there is no factor to 0.
double apart(double usual, double value) { return usual > 0 ? std::log(value / usual) : value - usual; }

double moved(double usual, double by) { return usual > 0 ? usual * std::exp(by) : usual + by; }

/// Ends without the figure count for nothing.
bool never_open(const SoundReading&) { return false; }
/// Ends at which a held current never halves.
bool without_trip(const SoundReading& end) { return !end.trip_s; }

/// docs/model.md (12.1).
/// get: a figure of a reading, none where that one has none. An end without the figure leaves it open upwards
/// where `open` says so, and counts for nothing else.
template <class Get, class Open>
Band band_of(const Scattered& all, double usual, const Get& get, const Open& open) {
  double up = 0, down = 0;
  for (const auto& ends : all.causes) {
    double most = 0, least = 0;
    for (const SoundReading& end : ends) {
      const std::optional<double> value = get(end);
      if (!value && open(end)) most = infinite;
      if (!value) continue;
      most = std::max(most, apart(usual, *value));
      least = std::max(least, -apart(usual, *value));
    }
    up += most * most;
    down += least * least;
  }
  return {std::max(0.0, moved(usual, -std::sqrt(down))), moved(usual, std::sqrt(up))};
}

/// The least current that any of them ever carries, held. Two that have tripped by then do not make one that
/// carries less than either.
double least_held_A(const Scattered& all) {
  double least = *std::min_element(all.usual.held_A.begin(), all.usual.held_A.end());
  for (const auto& ends : all.causes) {
    for (const SoundReading& end : ends) {
      least = std::min(least, *std::min_element(end.held_A.begin(), end.held_A.end()));
    }
  }
  return least;
}

std::string past_class(const SoundReading& usual, double class_C) {
  return fmt::format("not given: held for {}, its winding passes its class of {} °C{}",
                     base::wait_text(*usual.class_passed_s), base::exact_text(class_C),
                     usual.trip_s ? "" : " without a trip");
}

bool any_end(const Scattered& all, bool (*is)(const SoundReading&)) {
  return std::any_of(all.causes.begin(), all.causes.end(),
                     [is](const auto& ends) { return std::any_of(ends.begin(), ends.end(), is); });
}

bool trips(const SoundReading& reading) { return reading.trip_s.has_value(); }

std::string trip_remark(const Scattered& all) {
  const SoundReading& usual = all.usual;
  const std::string some =
      !usual.trip_s && any_end(all, trips) ? "; some within their tolerances do" : std::string();
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
      : actuator_(actuator), all_(all), load_N_(load_N) {}

  std::vector<Expected> readings() {
    const SoundReading& usual = all_.usual;
    const std::string stroke = base::significant(actuator_.stroke * 1e3) + " mm";
    const std::string tripped = fmt::format("power off {} after it tripped", base::wait_text(past_trip_s));
    const std::string no_throw = "does not complete a throw at this supply";
    add("cold resistance", "ohm", "across its leads, cold; take the meter's own leads off",
        [](const SoundReading& r) { return std::optional(r.cold_ohm); });
    add("held current at once", "A", "rotor held, power just on",
        [](const SoundReading& r) { return std::optional(r.at_once_A); });
    add_held(
        usual.trip_s.value_or(stall_limit_s), "time to trip", "s", trip_remark(all_),
        [](const SoundReading& r) { return r.trip_s; }, without_trip);
    add_held(minute_s, "held current after 60 s", "A", "rotor held all the time",
             [](const SoundReading& r) { return std::optional(r.minute_A); });
    out_.back().low = std::max(out_.back().low, least_held_A(all_));
    add_held(stall_limit_s, "held current in the end", "A", "after " + base::wait_text(stall_limit_s),
             [](const SoundReading& r) { return std::optional(r.end_A); });
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

  bool held_too_long(double s) const { return all_.usual.class_passed_s && s >= *all_.usual.class_passed_s; }

  /// A figure of the held rotor at s from power on: none where its winding would be past its class by then.
  template <class Get, class Open = bool (*)(const SoundReading&)>
  void add_held(double s, const char* name, const char* unit, std::string remark, const Get& get,
                const Open& open = never_open) {
    if (!held_too_long(s)) return add(name, unit, std::move(remark), get, open);
    add(name, unit, past_class(all_.usual, actuator_.motor.winding_class_C),
        [](const SoundReading&) { return std::optional<double>(); });
  }

  /// A figure of one that has tripped and was held a little longer. Ends that do not trip have none; one that
  /// trips and has none never gets there.
  template <class Get>
  void add_tripped(const char* name, const char* unit, std::string remark, const Get& get) {
    const SoundReading& usual = all_.usual;
    if (!usual.trip_s) remark = "does not trip";
    add_held(usual.trip_s ? *usual.trip_s + past_trip_s : stall_limit_s, name, unit, std::move(remark), get,
             [&](const SoundReading& end) { return end.trip_s && !get(end); });
    if (out_.back().value && any_end(all_, without_trip)) {
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
  std::vector<Expected> out_;
};

/// Seconds after power off: close where resistance falls fast, and on figures that a watch shows.
std::vector<double> cooling_times(double until_s) {
  constexpr struct {
    double to_s, step_s;
  } stretches[] = {{10, 0.25}, {30, 1}, {120, 5}, {600, 15}, {1800, 60}, {infinite, 300}};
  std::vector<double> times{0};
  for (const auto& stretch : stretches) {
    while (times.back() < until_s && times.back() + 0.5 * stretch.step_s < stretch.to_s) {
      times.push_back(times.back() + stretch.step_s);
    }
  }
  return times;
}

std::vector<CoolingPoint> cooling_of(const Scattered& all) {
  const SoundReading& stated = all.usual;
  if (!stated.trip_s) return {};
  if (stated.class_passed_s && *stated.trip_s + past_trip_s >= *stated.class_passed_s) return {};
  double until = std::max(60.0, 1.2 * *all.usual.cooled_s);
  for (const auto& ends : all.causes) {
    for (const SoundReading& end : ends) until = std::max(until, end.cooled_s.value_or(0));
  }
  std::vector<CoolingPoint> points;
  for (const double t : cooling_times(until)) {
    const auto at = [t](const SoundReading& r) {
      return r.trip_s ? std::optional(r.leads_after(t)) : std::nullopt;
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
  const double least = least_held_A(all);
  for (std::size_t k = 0; k < times.size(); ++k) {
    if (all.usual.class_passed_s && times[k] >= *all.usual.class_passed_s) break;
    const auto at = [k](const SoundReading& r) { return std::optional(r.held_A[k]); };
    const double usual = all.usual.held_A[k];
    const Band band = band_of(all, usual, at, never_open);
    points.push_back({times[k], usual, std::max(band.low, least), band.high});
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

/// Earliest time, held, at which the winding of one of them passes its class.
std::optional<double> class_passed(const Scattered& all) {
  std::optional<double> earliest = all.usual.class_passed_s;
  for (const auto& ends : all.causes) {
    for (const SoundReading& end : ends) {
      if (end.class_passed_s && (!earliest || *end.class_passed_s < *earliest)) earliest = end.class_passed_s;
    }
  }
  return earliest;
}

std::vector<std::string> warnings_of(const model::Actuator& actuator, const Sheet& sheet,
                                     const Scattered& all) {
  std::vector<std::string> lines;
  if (sheet.off_by_s) {
    const std::string limit =
        fmt::format("its class ({} °C)", base::exact_text(actuator.motor.winding_class_C));
    lines.push_back(
        all.usual.class_passed_s
            ? fmt::format("Switch off within {}: held longer, its winding passes {}. Its thermistor does not "
                          "protect it in time at this voltage and ambient. What comes later is not given.",
                          base::wait_text(*sheet.off_by_s), limit)
            : fmt::format(
                  "Switch off within {}: held longer, the winding of one at the end of its tolerances "
                  "passes {}.",
                  base::wait_text(*sheet.off_by_s), limit));
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
  sheet.off_by_s = class_passed(all);
  sheet.warnings = warnings_of(actuator, sheet, all);
  sheet.readings = Sheets(actuator, all, load_N).readings();
  sheet.cooling = cooling_of(all);
  sheet.held = held_of(all);
  sheet.scatter = scatter_words(actuator);
  return sheet;
}

}  // namespace latchwright::bench
