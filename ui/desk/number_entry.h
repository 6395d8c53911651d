// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QLocale>
#include <QString>
#include <optional>

#include "model/field.h"
#include "units/shown_unit.h"

// Numbers as people type and read them, in the shown unit, and as the job holds them, in the file's.
namespace latchwright::desk {

/// What somebody typed, read as a number.
struct TypedNumber {
  std::optional<double> value;
  QString why;              ///< there is no value: why, and what to type instead
  bool other_form = false;  ///< typed in a form that the field will not show: say what was understood
};

/// A decimal point or a decimal comma, never a separator between thousands: a comma that could be one
/// ("1,500" where the locale's decimal is a point) is turned down rather than guessed. The unit may stand
/// behind the number.
TypedNumber read_typed(const QString& text, const QString& unit, const QLocale& locale = QLocale());

/// As short as the value permits where six digits tell all of it, else three significant digits.
QString short_number(double value);
/// A file's number in the shown unit.
QString shown_number(double file_value, const units::ShownUnit& unit);
/// Back in the file's unit, without the conversion's rounding noise.
double file_number(double shown_value, const units::ShownUnit& unit);

/// "0 to 98.42 ft": both ends permitted as they are printed.
QString shown_range(const model::FieldInfo& info, units::UnitSystem system);
/// Why the field cannot take this number of the file's unit, in the shown unit; empty: within its range.
QString range_fault(double file_value, const model::FieldInfo& info, units::UnitSystem system);

/// The next number up or down: about a twentieth of the value, of steps 1, 2, 5, 10 …; never past the range.
double stepped(double shown_value, bool up, const model::FieldInfo& info, const units::ShownUnit& unit);

}  // namespace latchwright::desk
