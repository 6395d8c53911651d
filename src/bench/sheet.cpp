// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/failure.h"
#include "base/text.h"
#include "bench/sound_reading.h"
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

/// get: a figure of a reading, none where that one has none. An end without the figure leaves it open upwards
/// where `open`, and counts for nothing else.
template <class Get>
Band band_of(const Scattered& all, double usual, const Get& get, bool open = false) {
  double up = 0, down = 0;
  for (const auto& ends : all.causes) {
    double most = 0, least = 0;
    for (const SoundReading& end : ends) {
      const std::optional<double> value = get(end);
      if (!value && open) most = infinite;
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

std::string trip_remark(const SoundReading& usual) {
  switch (usual.limited_by) {
    case sim::LimitedBy::thermistor:
      return "until its current has halved";
    case sim::LimitedBy::winding:
      return "the current halves because the copper heats, not because the thermistor trips: that is no "
             "protection";
    case sim::LimitedBy::nothing:
      break;
  }
  return "does not trip within " + base::wait_text(stall_limit_s);
}

class Sheets {
 public:
  Sheets(const model::Actuator& actuator, const Scattered& all, double load_N)
      : actuator_(actuator), all_(all), load_N_(load_N) {}

  std::vector<Expected> readings() {
    const SoundReading& usual = all_.usual;
    const bool trips = usual.trip_s.has_value();
    const std::string stroke = base::significant(actuator_.stroke * 1e3) + " mm";
    const std::string tripped = fmt::format("power off {} after it tripped", base::wait_text(past_trip_s));
    const std::string never = "does not trip";
    add("cold resistance", "ohm", "across its leads, cold; take the meter's own leads off",
        [](const SoundReading& r) { return std::optional(r.cold_ohm); });
    add("held current at once", "A", "rotor held, power just on",
        [](const SoundReading& r) { return std::optional(r.at_once_A); });
    add(
        "time to trip", "s", trip_remark(usual), [](const SoundReading& r) { return r.trip_s; }, true);
    add("held current after 60 s", "A", "rotor held all the time",
        [](const SoundReading& r) { return std::optional(r.minute_A); });
    out_.back().low = std::max(out_.back().low, least_held_A(all_));
    add("held current in the end", "A", "after " + base::wait_text(stall_limit_s),
        [](const SoundReading& r) { return std::optional(r.end_A); });
    add("resistance just after tripping", "ohm",
        !trips ? never
               : tripped + "; falls quickly at first" +
                     (usual.beyond_table ? "; beyond the end of the thermistor's table: a guess" : ""),
        [](const SoundReading& r) { return r.tripped_ohm; });
    add(
        "moves again after", "s", moves_remark(stroke, tripped),
        [](const SoundReading& r) { return r.moves_s; }, true);
    add("cold again after", "s",
        trips ? tripped + "; resistance across its leads within 10 % of cold" : never,
        [](const SoundReading& r) { return r.cooled_s; });
    add(
        "throw time unloaded", "s",
        usual.throw_s ? fmt::format("{} with nothing on the rod, first throw", stroke)
                      : "does not complete a throw at this supply",
        [](const SoundReading& r) { return r.throw_s; }, true);
    add("free running current", "A",
        usual.free_A ? "least current of that throw" : "does not complete a throw at this supply",
        [](const SoundReading& r) { return r.free_A; });
    add("force held cold", "N", "spring scale at the rod, power just on",
        [](const SoundReading& r) { return std::optional(r.force_N); });
    return std::move(out_);
  }

 private:
  std::string moves_remark(const std::string& stroke, const std::string& tripped) const {
    if (!all_.usual.trip_s) return "does not trip";
    const std::string against =
        fmt::format("{} against {} N (half its force held cold)", stroke, base::significant(load_N_));
    if (!all_.usual.moves_s) return fmt::format("no rest brings back a throw of {}", against);
    return fmt::format("{}; a throw of {} completes within {}", tripped, against, base::wait_text(pulse_s));
  }

  template <class Get>
  void add(const char* name, const char* unit, std::string remark, const Get& get, bool open = false) {
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
  if (!all.usual.trip_s) return {};
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
    const Band band = band_of(all, usual, at);
    points.push_back({t / 60, usual, band.low, band.high});
  }
  return points;
}

std::vector<HeldPoint> held_of(const Scattered& all) {
  std::vector<HeldPoint> points;
  const auto& times = held_times();
  const double least = least_held_A(all);
  for (std::size_t k = 0; k < times.size(); ++k) {
    const auto at = [k](const SoundReading& r) { return std::optional(r.held_A[k]); };
    const double usual = all.usual.held_A[k];
    const Band band = band_of(all, usual, at);
    points.push_back({times[k], usual, std::max(band.low, least), band.high});
  }
  return points;
}

std::vector<std::string> scatter_words(const model::Actuator& actuator) {
  std::vector<std::string> words;
  for (const auto& [pointer, half_width] : model::tolerances_of(actuator)) {
    const bool stated = actuator.tolerance.contains(pointer);
    words.push_back(fmt::format("{} ±{} %{}", stated ? pointer : "the thermistor's resistance",
                                base::exact_text(100 * half_width),
                                stated ? "" : " (usual; the part states none)"));
  }
  if (actuator.ptc.after_trip_ratio != 1) {
    words.push_back(fmt::format("a thermistor that has tripped before ({} times its resistance as new)",
                                base::significant(actuator.ptc.after_trip_ratio)));
  }
  return words;
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
  sheet.readings = Sheets(actuator, all, load_N).readings();
  sheet.cooling = cooling_of(all);
  sheet.held = held_of(all);
  sheet.scatter = scatter_words(actuator);
  return sheet;
}

}  // namespace latchwright::bench
