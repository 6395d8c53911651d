// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QString>
#include <QStringList>
#include <vector>

#include "model/catalogue.h"
#include "units/shown_unit.h"

// The figures of a part as people read them, by way of the field tables.
namespace latchwright::desk {

struct PartFigure {
  std::string pointer;  ///< within the part: "/motor/resistance_ohm"
  QString name;         ///< "motor: winding resistance"
  QString value;        ///< in the shown unit; of a list with blanks between
  QStringList items;    ///< of a list
  QString unit;
  QString meaning;
  QString tolerance;  ///< "±10 %", or empty
};

/// Every figure of the part in the order of the tables.
std::vector<PartFigure> part_figures(const model::Part& part, units::UnitSystem units);

/// What one chooses by, in a line: "20 mm, 2 wires, 2.2 Ω motor, 0.09 Ω thermistor".
QString key_figures(const model::Part& part, units::UnitSystem units);
/// The first of them, for a wire its size: "2.5 mm²".
QString principal_text(const model::Part& part, units::UnitSystem units);
/// What parts of one kind are put in order by: area, rating, travel.
double principal_number(const model::Part& part);
/// Parts of the kind, by that number and then by id.
std::vector<model::PartPtr> parts_in_order(const model::Catalogue& catalogue, std::string_view kind);

/// "invented example: measure yours before promising this".
QString origin_line(const model::Source& source);
/// One word or two for a column: "invented", "standard".
QString origin_word(const model::Source& source);

}  // namespace latchwright::desk
