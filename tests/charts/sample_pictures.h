// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cmath>
#include <string>

#include "report/picture.h"

// Invented pictures of the kinds that the program makes.
namespace latchwright::tests {

using report::Picture;
using report::Shape;
using report::Stroke;

inline report::PictureLine line(std::string name, std::vector<double> x, std::vector<double> y,
                                std::size_t hue = 0, Stroke stroke = Stroke::solid, bool right = false) {
  return {std::move(name), std::move(x), std::move(y), hue, stroke, right};
}

inline report::PictureMarks marks(std::string name, std::vector<double> x, std::vector<double> y,
                                  std::vector<std::string> labels, std::size_t hue, Shape shape) {
  return {std::move(name), std::move(x), std::move(y), std::move(labels), hue, shape, false};
}

inline report::PictureLimit limit(std::string name, double value, std::size_t hue, Stroke stroke) {
  return {std::move(name), value, false, false, hue, stroke};
}

inline report::Axis axis(std::string title, std::string unit, bool logarithmic = false) {
  report::Axis axis;
  axis.title = std::move(title);
  axis.unit = std::move(unit);
  axis.logarithmic = logarithmic;
  return axis;
}

/// Two lines, a mark, a limit: all there is in three points each.
inline Picture small_picture() {
  Picture picture;
  picture.key = "small";
  picture.title = "Temperatures while locking again and again";
  picture.condition = "condition (12.6 V, 80 °C), pulse 0.7 s, rest 1 s";
  picture.across = axis("time", "s");
  picture.up = axis("winding", "°C");
  picture.lines = {line("front left", {0, 10, 20}, {20, 60, 100}),
                   line("tailgate", {0, 10, 20}, {20, 40, 80}, 1, Stroke::dashed)};
  picture.marks = {marks("missed throw", {10}, {60}, {"throw 3"}, 0, Shape::cross)};
  picture.limits = {limit("winding class", 120, 0, Stroke::dashed)};
  picture.note = "Example parts: measure yours before promising this.";
  return picture;
}

inline Picture cycling_picture() {
  Picture picture = small_picture();
  picture.key = "cycling_temperatures";
  picture.up.title = "winding and thermistor";
  picture.lines.clear();
  picture.marks.clear();
  const char* doors[] = {"front left", "front right", "rear left", "rear right", "tailgate"};
  for (std::size_t door = 0; door < 5; ++door) {
    report::PictureLine winding = line(std::string(doors[door]) + ", winding", {}, {}, door);
    report::PictureLine ptc = line(std::string(doors[door]) + ", thermistor", {}, {}, door, Stroke::dashed);
    for (int k = 0; k <= 3400; ++k) {
      const double t = k * 0.01, in_pulse = std::fmod(t, 1.7);
      const double saw = in_pulse < 0.7 ? in_pulse / 0.7 : std::exp(-(in_pulse - 0.7) / 0.5);
      const double rise = 1 - std::exp(-t / 12);
      winding.x.push_back(t);
      winding.y.push_back(80 + (15 + 2.0 * static_cast<double>(door)) * rise + 3 * saw);
      ptc.x.push_back(t);
      ptc.y.push_back(80 + (40 + 1.5 * static_cast<double>(door)) * rise + 8 * saw);
    }
    picture.marks.push_back(marks("misses a throw", {23.8 + 1.7 * static_cast<double>(door / 2)},
                                  {80 + (40 + 1.5 * static_cast<double>(door)) * 0.87},
                                  {std::string(doors[door]) + ", throw 14"}, door, Shape::cross));
    picture.lines.push_back(winding);
    picture.lines.push_back(ptc);
  }
  picture.limits = {limit("front left, winding class", 120, 0, Stroke::dotted),
                    limit("front right and rear, winding class", 130, 1, Stroke::dotted),
                    limit("tailgate, winding class", 155, 4, Stroke::dotted)};
  return picture;
}

inline Picture time_current_picture() {
  Picture picture;
  picture.key = "time_current";
  picture.title = "Which opens first: fuse, thermistor or wire";
  picture.condition = "fuses and wires at their coldest and hottest; thermistors at 12.6 V, 23 °C";
  picture.across = axis("current", "A", true);
  picture.up = axis("time", "s", true);
  picture.up.low = 0.01;
  picture.up.high = 3600;
  for (std::size_t fuse = 0; fuse < 2; ++fuse) {
    report::PictureBand band;
    band.name = fuse == 0 ? "main fuse, 30 A" : "fuse of tailgate, 7.5 A";
    band.hue = fuse;
    const double rating = fuse == 0 ? 30 : 7.5;
    for (const auto& [ratio, low, high] :
         {std::tuple(1.1, 3600.0, 3600.0), std::tuple(1.35, 0.75, 600.0), std::tuple(1.6, 0.25, 50.0),
          std::tuple(2.0, 0.15, 5.0), std::tuple(3.5, 0.04, 0.5), std::tuple(6.0, 0.02, 0.1)}) {
      band.lower_x.push_back(rating * ratio);
      band.lower_y.push_back(low);
      band.upper_x.push_back(rating * ratio);
      band.upper_y.push_back(high);
    }
    picture.bands.push_back(band);
  }
  for (std::size_t wire = 0; wire < 2; ++wire) {
    report::PictureLine bears =
        line(wire == 0 ? "feed, 4 mm²" : "door run of tailgate, 1.5 mm²", {}, {}, 2 + wire, Stroke::dashed);
    for (double current = 20; current < 500; current *= 1.05) {
      bears.x.push_back(current * (wire == 0 ? 2 : 1));
      bears.y.push_back(3e4 / (current * current));
    }
    picture.lines.push_back(bears);
  }
  report::PictureLine trip = line("thermistor of tailgate trips", {}, {}, 4, Stroke::dash_dot);
  for (double current = 1.5; current < 6; current *= 1.05) {
    trip.x.push_back(current);
    trip.y.push_back(300 / (current * current) + 0.5);
  }
  picture.lines.push_back(trip);
  picture.marks = {marks("currents that matter", {4.6, 23.2, 56.2}, {0.02, 0.02, 0.02},
                         {"tailgate stalls", "all doors stall", "short circuit at the end of the door run"},
                         4, Shape::diamond)};
  picture.limits = {limit("short circuit", 56.2, 4, Stroke::dotted)};
  picture.limits[0].upright = true;
  return picture;
}

inline Picture margins_picture() {
  Picture picture;
  picture.key = "margins";
  picture.title = "Margins where each check is weakest";
  picture.across = axis("margin (have over need)", "", true);
  picture.up.words = {"actuator reaches the lock's full travel",
                      "actuator is strong enough",
                      "throw ends within the pulse",
                      "keeps working when locked again and again",
                      "winding stays within its class in use",
                      "winding survives a stuck relay",
                      "thermistor within its voltage and current",
                      "voltage lost in the wires",
                      "wire stays within its class at stall",
                      "fuse is not loaded too long",
                      "fuse does not blow in use",
                      "fuse clears a short circuit in time",
                      "fuse protects the wire",
                      "relay may switch the stall current"};
  const std::vector<double> margins{1.05, 1.21, 3.07, 0.6,  2.08,  1.42,  2.0,
                                    1.33, 38.1, 1.48, 1.13, 0.511, 0.887, 1.22};
  report::PictureMarks holds = marks("holds", {}, {}, {}, 2, Shape::circle);
  report::PictureMarks tight = marks("tight", {}, {}, {}, 5, Shape::triangle);
  report::PictureMarks fails = marks("fails", {}, {}, {}, 1, Shape::cross);
  for (std::size_t k = 0; k < margins.size(); ++k) {
    auto& verdict = margins[k] < 1 ? fails : margins[k] < 1.15 ? tight : holds;
    verdict.x.push_back(margins[k]);
    verdict.y.push_back(static_cast<double>(k));
    verdict.labels.push_back(k % 2 == 0 ? "tailgate (9 V, 80 °C)" : "front left (15 V, -20 °C)");
  }
  picture.marks = {holds, tight, fails};
  picture.limits = {limit("just passes", 1, 4, Stroke::dashed)};
  picture.limits[0].upright = true;
  return picture;
}

inline Picture throw_picture() {
  Picture picture;
  picture.key = "throw_in_time";
  picture.title = "One throw of tailgate";
  picture.condition = "12.6 V, 23 °C, all doors driven";
  picture.across = axis("time", "s");
  picture.up = axis("travel of the rod", "mm");
  picture.right = axis("current", "A");
  report::PictureLine travel = line("travel of the rod", {}, {});
  report::PictureLine current = line("current", {}, {}, 1, Stroke::dashed, true);
  for (int k = 0; k <= 700; ++k) {
    const double t = k * 0.001;
    travel.x.push_back(t);
    travel.y.push_back(22 * std::min(1.0, std::pow(t / 0.12, 1.5)));
    current.x.push_back(t);
    current.y.push_back(t < 0.12 ? 5 * (1 - std::exp(-t / 0.001)) - 20 * t : 4.9);
  }
  picture.lines = {travel, current};
  picture.limits = {limit("lock's travel", 20, 2, Stroke::dashed),
                    limit("at standstill", 5.2, 3, Stroke::dotted)};
  picture.limits[1].right = true;
  picture.marks = {marks("throw ends", {0.12}, {22}, {"0.120 s"}, 0, Shape::circle)};
  return picture;
}

/// What no picture should have, and must not break any.
inline Picture odd_picture() {
  Picture picture;
  picture.key = "odd";
  picture.title = "Gaps & <odd> values";
  picture.across = axis("x", "", true);
  picture.up = axis("y", "");
  const double nan = std::nan("");
  picture.lines = {line("gap", {0, 1, 2, 3, 4, 5, -1}, {5, 1, 2, nan, 4, INFINITY, 7}),
                   line("uneven", {1, 2, 3}, {1, 2}), line("nothing", {nan}, {nan})};
  picture.marks = {marks("", {0, nan, 2}, {1, 1, 1.5}, {"a", "b"}, 0, Shape::circle)};
  picture.limits = {limit("endless", INFINITY, 0, Stroke::dashed)};
  return picture;
}

}  // namespace latchwright::tests
