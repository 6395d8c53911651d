// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QString>
#include <string>

// Numbers as people want to read them: metric as in the files, or US customary. Files stay as they are.
namespace latchwright::units {

enum class UnitSystem { metric, us };

/// How a unit of the field tables is shown: shown = file * factor + offset.
struct ShownUnit {
  QString text;  ///< "°F", "lbf", "in", "ft"; the file's own where there is nothing to convert
  double factor = 1;
  double offset = 0;

  double shown(double file_value) const { return file_value * factor + offset; }
  double file(double shown_value) const { return (shown_value - offset) / factor; }
};

/// °C -> °F, N -> lbf, mm -> in, m -> ft, mN·m -> ozf·in; all others as they are. K stays: a difference of
/// temperatures in °F would be read as a temperature. mm² is not converted here: see area_text.
ShownUnit shown_unit(const std::string& unit, UnitSystem system);

/// "22.0 N", "4.95 lbf": three significant digits, the unit behind a blank.
QString value_text(double file_value, const std::string& unit, UnitSystem system, int digits = 3);

/// A wire's cross-section: "2.5 mm²"; for US readers "14 AWG (2.08 mm²)" where it is a size that is sold, else
/// the thinnest such size with as much copper: "2.5 mm² (at least 12 AWG)"; larger than 1 AWG: "1/0 AWG". ASTM
/// B258 (from memory): d(n) = 0.127 mm * 92^((36-n)/39).
QString area_text(double area_mm2, UnitSystem system);

}  // namespace latchwright::units
