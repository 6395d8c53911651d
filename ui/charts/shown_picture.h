// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <QString>

#include "report/picture.h"
#include "units/shown_unit.h"

namespace latchwright::charts {

/// The picture with every value, end of an axis and limit in the units that are shown, which its axes then
/// name. Words of an axis stay.
report::Picture shown_picture(const report::Picture& picture, units::UnitSystem system);

/// "winding, °C"
QString axis_title(const report::Axis& axis);

/// A value of an axis of a shown picture: "80.0 °C", a word, "never" beyond all bounds.
QString axis_value_text(const report::Axis& axis, double value);

}  // namespace latchwright::charts
