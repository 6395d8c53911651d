// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

// A picture as numbers and words: what is drawn, not how it looks. Whoever draws it (a window, a file, the
// job sheet) chooses colours, converts units for people and thins what the eye cannot tell apart.
namespace latchwright::report {

struct Axis {
  std::string title;  ///< "winding and thermistor"; without the unit
  std::string unit;  ///< as the field tables write it: "°C", "s", "A", "mm", "N"; empty for ratios and counts
  bool logarithmic = false;
  std::optional<double> low, high;  ///< else from what is drawn
  std::vector<std::string> words;   ///< of an axis of words: 0 is the first, from the top of an upright axis
};

/// What tells lines apart where colour does not.
enum class Stroke { solid, dashed, dotted, dash_dot };
enum class Shape { circle, square, triangle, diamond, cross };

/// Lines, bands and marks with the same name share one entry of the legend; an empty name has none.
struct PictureLine {
  std::string name;
  std::vector<double> x, y;  ///< in the axes' units; x need not rise
  std::size_t hue = 0;       ///< which colour of the palette, modulo its size: one subject keeps one hue
  Stroke stroke = Stroke::solid;
  bool right = false;  ///< belongs to the right axis
};

struct PictureMarks {
  std::string name;
  std::vector<double> x, y;
  std::vector<std::string> labels;  ///< beside each mark; empty: none
  std::size_t hue = 0;
  Shape shape = Shape::circle;
  bool right = false;
};

/// The room between two lines.
struct PictureBand {
  std::string name;
  std::vector<double> lower_x, lower_y, upper_x, upper_y;
  std::size_t hue = 0;
};

/// A straight line across the whole picture at one value.
struct PictureLimit {
  std::string name;
  double value = 0;
  bool upright = false;  ///< at a value of the lower axis
  bool right = false;    ///< at a value of the right axis
  std::size_t hue = 0;
  Stroke stroke = Stroke::dashed;
};

struct Picture {
  std::string key;        ///< "cycling_temperatures": stable, for tests and file names
  std::string title;      ///< "Temperatures while locking again and again"
  std::string condition;  ///< "12.6 V, 80 °C, pulse 0.7 s, rest 1 s"; empty where it spans several
  Axis across, up;
  std::optional<Axis> right;
  std::vector<PictureLine> lines;
  std::vector<PictureMarks> marks;
  std::vector<PictureBand> bands;
  std::vector<PictureLimit> limits;
  std::string
      note;  ///< below the picture: what to mind, "example parts: measure yours before promising this"
};

}  // namespace latchwright::report
