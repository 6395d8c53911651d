// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/spread_pictures.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "support/hand_made_map.h"
#include "support/picture_search.h"
#include "support/words.h"

// Pictures of figures that were made by hand (support/hand_made_map.h).
using namespace latchwright;
using report::Picture;
using tests::named;

namespace {

const Picture& of_key(const std::vector<Picture>& pictures, const std::string& key) {
  for (const auto& picture : pictures) {
    if (picture.key == key) return picture;
  }
  throw std::runtime_error("no picture " + key);
}

/// Area between the two edges of a band of steps, by the trapezoid rule.
double area(const report::PictureBand& band) {
  const auto under = [](const std::vector<double>& x, const std::vector<double>& y) {
    double sum = 0;
    for (std::size_t k = 0; k + 1 < x.size(); ++k) sum += (x[k + 1] - x[k]) * (y[k] + y[k + 1]) / 2;
    return sum;
  };
  return under(band.upper_x, band.upper_y) - under(band.lower_x, band.lower_y);
}

}  // namespace

TEST_CASE("chances: over the number of cycles with their interval", "[report][spread_pictures]") {
  const auto result = tests::hand_made_spread();
  const auto pictures = report::spread_pictures(result, "A car", true);
  CHECK(pictures.size() == 5);
  const auto& picture = of_key(pictures, "spread_chance");
  const auto& line = picture.lines.at(0);
  REQUIRE(line.x.size() == 10);
  CHECK(line.x.front() == 1);
  // 240 of 2000 stop before 5 whole cycles.
  CHECK(tests::value_at(line, 5) == Approx(12));
  const auto& band = picture.bands.at(0);
  CHECK(band.lower_y[4] == Approx(9.6));
  CHECK(band.upper_y[4] == Approx(13));
  CHECK(named(picture.limits, "wanted: 5 cycles").value == 5);
  CHECK(named(picture.limits, "wanted: 5 cycles").upright);
  CHECK(picture.condition == "A car: 12.6 V, 80 °C, pulse 0.7 s, rest 1 s; 2000 installations tried");
  CHECK(picture.note ==
        "before 5 cycles: 12.0 % (9.60 to 13.0 %); example parts: measure yours before promising this");
  auto stopped = result;
  stopped.done = 640;
  stopped.lockout = tests::chance(0, 640);
  const auto early = report::spread_pictures(stopped, "", false);
  CHECK(of_key(early, "spread_chance").condition.ends_with("; 640 of 2000 installations tried"));
  CHECK(of_key(early, "spread_chance").note == "before 5 cycles: less than 1.00 %");
}

TEST_CASE("chances: histograms hold all installations that have the figure", "[report][spread_pictures]") {
  const auto pictures = report::spread_pictures(tests::hand_made_spread(), "", false);
  const auto& cycles = of_key(pictures, "spread_cycles");
  // Steps one cycle wide: the area is 100 % times one.
  CHECK(area(cycles.bands.at(0)) == Approx(100));
  CHECK(cycles.bands[0].upper_x.front() == -0.5);
  // 2 to 5 cycles are the places 0 to 3.
  CHECK(cycles.across.words == std::vector<std::string>{"2", "3", "4", "5"});
  CHECK(named(cycles.limits, "half at or below 4").value == 2);
  CHECK(cycles.bands[0].lower_y == std::vector<double>{0, 0});
  const auto& trip = of_key(pictures, "spread_trip_time_s");
  CHECK(area(trip.bands.at(0)) == Approx(3 * 20 + 4 * 70 + 8 * 10));
  CHECK(trip.across.unit == "s");
  CHECK_FALSE(trip.across.logarithmic);
  CHECK(named(trip.limits, "5 % at or below").value == 6.1);
  CHECK(named(trip.limits, "half at or below").value == 9.4);
  CHECK(named(trip.limits, "95 % at or below").value == 14.2);
  CHECK(trip.note == "not among them: 3.00 % (no thermistor trips in 600 s)");
  CHECK(trip.title == "Time to the first thermistor's trip, all doors held");
  // Few installations bear few steps, which still hold all of them.
  auto small = tests::hand_made_spread();
  small.done = 8;
  small.distributions[1].without = 0;
  small.distributions[1].bins.clear();
  for (int n = 0; n < 39; ++n) small.distributions[1].bins.push_back({5 + 0.1 * n, 5.1 + 0.1 * n, 1.0 / 39});
  const auto few = report::spread_pictures(small, "", false);
  const auto& steps = of_key(few, "spread_trip_time_s").bands.at(0);
  CHECK(steps.upper_x.size() == 2 * 5);
  double sum = 0;
  for (std::size_t k = 0; k < steps.upper_y.size(); k += 2) sum += steps.upper_y[k];
  CHECK(sum == Approx(100));
  CHECK(steps.upper_x.back() == Approx(8.9));
}

TEST_CASE("chances: bars of influence and of tightening", "[report][spread_pictures]") {
  auto result = tests::hand_made_spread();
  auto pictures = report::spread_pictures(result, "", false);
  const auto& influence = of_key(pictures, "spread_influence");
  CHECK(influence.up.words == std::vector<std::string>{"thermistor resistance of a", "ambient", "rod force"});
  CHECK(influence.title.ends_with("cycles before a missed throw"));
  REQUIRE(influence.marks.size() == 2);
  CHECK(influence.marks[0].x[1] == Approx(28));  // total of ambient
  CHECK(influence.marks[1].x[1] == Approx(20));  // by itself
  CHECK(influence.bands.at(0).upper_x.back() == Approx(71));
  // An error of a figure near nothing reaches below nothing: the axis is not cut there.
  CHECK_FALSE(influence.across.low);
  const auto& whisker = influence.lines.at(0);
  CHECK(whisker.x.front() == Approx(68));
  CHECK(whisker.x.back() == Approx(74));
  const auto& tightening = of_key(pictures, "spread_tightening");
  CHECK(tightening.marks.at(0).x[0] == Approx(100 * 31.0 / 1024));
  CHECK(tightening.limits.at(0).value == Approx(100 * 125.0 / 1024));
  CHECK(tests::holds(tightening.note, "of the same 1024 installations"));
  // More than can be read: the first dozen, and how many are left out.
  while (result.influences.size() < 20) result.influences.push_back(result.influences.back());
  pictures = report::spread_pictures(result, "", false);
  CHECK(of_key(pictures, "spread_influence").up.words.size() == 12);
  CHECK(tests::holds(of_key(pictures, "spread_influence").note, "8 that do less are left out"));
  // Where nothing varies there is nothing to draw.
  result.influences.clear();
  result.tightenings.clear();
  CHECK(report::spread_pictures(result, "", false).size() == 3);
}

TEST_CASE("map: pictures of what is safe and of what was counted", "[report][spread_pictures]") {
  auto study = tests::example_study("five-door-estate");
  study.job.climate = {-20, 23, 60};
  const auto map = tests::hand_made_rests();
  const auto pictures = report::map_pictures(study, map);
  REQUIRE(pictures.size() == 2);
  const auto& safe = of_key(pictures, "map_boundary");
  const auto& edge = named(safe.lines, "shortest rest");
  // Only where there is an edge; the ends have none.
  CHECK(std::isnan(edge.y[0]));
  CHECK(edge.y[1] == 0.73);
  CHECK(edge.y[2] == 2.41);
  CHECK(std::isnan(edge.y[3]));
  const auto& band = safe.bands.at(0);
  // At 80 °C nothing does: no room is safe between there and the last ambient at which something does.
  CHECK(safe.bands.size() == 1);
  CHECK(safe.across.high == 80);
  CHECK(band.lower_x == std::vector<double>{-20, 23, 60});
  CHECK(band.lower_y == std::vector<double>{0, 0.73, 2.41});
  CHECK(band.upper_y == std::vector<double>{10, 10, 10});
  // Lines of equal count: the first counted rest from which on there are 3 and 10.
  CHECK(named(safe.lines, "3 cycles, as counted").y[2] == 2);
  CHECK(named(safe.lines, "10 cycles, as counted").y[1] == 2);
  CHECK(named(safe.limits, "the job's rest").value == 1);
  const auto& counts = of_key(pictures, "map_counts");
  CHECK(tests::value_at(named(counts.lines, "60 °C"), 3) == 7);
  CHECK(named(counts.limits, "wanted: 5 cycles").value == 5);
  CHECK(tests::holds(counts.note, "20 means 20 or more"));

  const auto pulses = report::map_pictures(study, tests::hand_made_pulses());
  const auto& pulse = of_key(pulses, "map_boundary");
  CHECK(pulse.bands.at(0).upper_y == std::vector<double>{3, 0.42});
  CHECK(pulse.bands.at(0).lower_y == std::vector<double>{0.3, 0.3});
  CHECK(pulse.up.logarithmic);
  CHECK(of_key(pulses, "map_counts").across.logarithmic);

  // An ambient without any in the middle parts the band in two.
  auto parted = map;
  parted.cycles_done[1] = {0, 0, 1, 1, 2, 4};
  parted.boundary = {{60, 2.41}};
  const auto both = report::map_pictures(study, parted);
  const auto& two = of_key(both, "map_boundary").bands;
  REQUIRE(two.size() == 2);
  CHECK(two[0].lower_x == std::vector<double>{-20});
  CHECK(two[1].lower_x == std::vector<double>{60});
}
