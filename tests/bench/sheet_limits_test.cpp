// SPDX-License-Identifier: GPL-3.0-or-later
// What the sheet lets be held, and for how long: against parts drawn within all tolerances at once.
#include <catch2/catch.hpp>
#include <random>

#include "base/infinity.h"
#include "bench/made_logs.h"
#include "bench/sheet.h"
#include "bench/sound_reading.h"
#include "model/tolerance.h"

using namespace latchwright;

namespace {

struct Place {
  const char* part;
  double ambient_C, supply_V;
};

}  // namespace

TEST_CASE("bench sheet: off in time for all within their tolerances", "[bench][sheet][slow]") {
  // Parts drawn evenly within all tolerances at once: switched off when told unless it has tripped, none
  // passes what a fault permits.
  int told = 0, would = 0;
  for (const Place& place : {Place{"act-workshop-test", 0, 12.6},
                             {"act-ordinary-2w-40", 0, 12.6},
                             {"act-workshop-test", 23, 15},
                             {"act-ordinary-2w", -20, 9},
                             {"act-oversized-thermistor", 23, 12.6}}) {
    CAPTURE(place.part, place.ambient_C);
    base::NoProgress progress;
    const model::Actuator& part = tests::catalogue_actuator(place.part);
    const model::PtcCurve& curve = tests::catalogue_curve(part);
    const auto sheet = bench::make_sheet(part, curve, place.ambient_C, place.supply_V, progress);
    const double off_s = sheet.off_by_s.value_or(base::infinity);
    if (sheet.off_by_s) ++told;
    for (const auto& row : sheet.readings) {
      if (row.name == "time to trip" && row.value && sheet.off_by_s) CHECK(row.high <= off_s);
    }
    std::mt19937_64 random(7);
    std::uniform_real_distribution<double> even(-1, 1);
    for (int k = 0; k < 150; ++k) {
      model::Actuator one = part;
      for (const auto& tolerance : model::every_tolerance(part))
        one = model::with_scaled(one, tolerance.pointer, 1 + tolerance.half_width * even(random));
      const auto read = bench::read_sound(
          one, curve, {.voltage_V = place.supply_V, .ambient_C = place.ambient_C}, 10, progress);
      if (!read.fault_passed_s) continue;
      ++would;
      CAPTURE(k, off_s);
      CHECK(*read.fault_passed_s > off_s);
    }
  }
  CHECK(told > 0);
  CHECK(would > 0);
}

TEST_CASE("bench sheet: no held current that the supply cannot push", "[bench][sheet][slow]") {
  // Where some have not tripped after a minute and the usual one has, two causes do not make a stronger
  // battery.
  for (const Place& place : {Place{"act-ordinary-2w-40", -20, 10.5},
                             {"act-ordinary-2w", 0, 9},
                             {"act-ordinary-2w", -40, 9},
                             {"act-workshop-test", 23, 12.6},
                             {"act-24v", 23, 18}}) {
    CAPTURE(place.part, place.ambient_C);
    base::NoProgress progress;
    const model::Actuator& part = tests::catalogue_actuator(place.part);
    const auto sheet =
        bench::make_sheet(part, tests::catalogue_curve(part), place.ambient_C, place.supply_V, progress);
    double at_once_A = 0;
    for (const auto& row : sheet.readings) {
      if (row.name == "held current at once") at_once_A = row.high;
      if (row.unit != "A" || !row.value) continue;
      CAPTURE(row.name, row.low, *row.value, row.high);
      CHECK(row.low <= *row.value);
      CHECK(row.high >= *row.value);
      CHECK(row.high <= 1.0001 * at_once_A);
    }
    for (const auto& point : sheet.held) CHECK(point.high_A <= 1.0001 * at_once_A);
  }
}
